#pragma once
// The shop in force: rates, people, minutes of hand work, plates, practice, cutters and tables. Built-in values are
// starting points marked "guessed"; one TOML file overlays any of them (shop/load.hpp).
#include <chipledger/cutting/cutter.hpp>
#include <chipledger/cutting/tables.hpp>
#include <chipledger/motion/machine.hpp>
#include <chipledger/path/work.hpp>
#include <chipledger/result/provenance.hpp>
#include <chipledger/stock/stock.hpp>

#include <map>
#include <string>
#include <vector>

namespace chipledger::shop {

/// Currency units per hour, with social charges and paid non-working time in them.
struct Rates {
  double machinePerHour{46};  ///< spindle hour: machine-hour cost plus its share of general shop cost
  double machinistPerHour{40};
  double benchPerHour{34};
  double packingPerHour{24};
  double outsidePerHour{95};   ///< an outside shop, machine and people together
  double ownerPerHour{95};     ///< what his full customs earn per hour, not a wage
  double attendedShare{0.35};  ///< of a machine minute, share of the machinist's
  double overhead{0.0};        ///< on cost of everything else; 0.18 = 18 %
};

/// Hand work at the machine. Minutes per piece unless the name says otherwise.
struct MachineSide {
  Duration loadPerSetup{minutes(3)};    ///< load, clean, turn over
  Duration setupPerBatch{minutes(45)};  ///< per setup: fixture on, cutters measured, first cut checked
  Duration bowCheck{minutes(1)};        ///< measure bow after one side has been roughed heavily
  Duration reclamp{minutes(2)};         ///< unclamp, let it move, clamp lightly again
  int probeTouches{0};         ///< of the machine's probe on each piece, per setup; 0: the fixture gives its place
  double bowShare{0.60};       ///< share of the blank cut away from which bow check and re-clamp are steps
  double roughingDerate{1.0};  ///< share of the table's feed that roughing really reaches in this shop
};

/// Bench minutes per piece: deburr, finish, fitting, inspection.
struct Bench {
  Duration perPiece{minutes(35)};    ///< plain plate: deburr, finish, inspect, fit pivot and lock
  Duration perIsland{minutes(3.0)};  ///< window fitting, top finish, extra deburr
  Duration perPocket{minutes(1.25)};
  Duration perWindow{minutes(1.0)};
  Duration perSlot{minutes(0.75)};
  Duration perThread{minutes(0.25)};
  Duration perTightBore{minutes(0.5)};  ///< gauging
  Duration perLettering{minutes(1.0)};
  Duration perCarvedFace{minutes(6.5)};  ///< polishing
  double learning{0.93};                 ///< hand time at twice the count, share of the time before
};

/// Share of pieces lost, by what is on them.
struct Scrap {
  double plain{0.03};
  double anyIsland{0.03}, perIsland{0.005};
  double anyPocket{0.02};
  double carved{0.02};
  double perThread{0.0};      ///< a broken tap is a scrapped plate
  double spentWhenLost{0.8};  ///< share of the run already spent when a piece is lost (mostly late)
};

/// Once per design: programming, fixture, first article, gauges.
struct OncePerDesign {
  double hoursPlain{11.25}, hoursIslands{8.75}, hoursPockets{3.75}, hoursCarved{8.75}, hoursPerFurtherSetup{5.0};
  double boughtPlain{156}, boughtIslands{106}, boughtPockets{31}, boughtCarved{63}, boughtPerFurtherSetup{60};
  double mateFactor{1.6};  ///< a mirrored mate costs this much instead of twice
};

/// Bosses made apart and fixed to a plain plate instead of islands milled from solid. From the worked demo: four bosses
/// add 10 bench minutes, 4 hours and 70 bought to a set of two plates, and lose one piece in a hundred more.
struct Boss {
  double price{4.2};               ///< of one, bought or made apart
  Duration pressed{minutes(2.5)};  ///< bench minutes for one: fit, press in, blend
  Duration screwed{minutes(2.0)};  ///< fit, screw on, lock
  double screwPrice{0.4};          ///< of one screw
  double hoursOnce{2.5}, boughtOnce{44};
  double scrap{0.01};
};

/// A lock cut sent out to be cut by wire instead of milled: clean and without a burr, 8 to 20 a piece (common practice,
/// no source); start hole included. The lot charge is paid once a batch.
struct Wire {
  double pricePerCut{14};
  double lotCharge{60};
  Duration handling{minutes(1)};  ///< bench minutes a piece: count, pack, take in, check
};

/// From the part to the plate that is bought.
struct BlankRules {
  Length sideAllowance{mm(3)};
  Length skimLight{mm(0.15)}, skimHeavy{mm(0.30)};
  Length underThickness{mm(0.30)};  ///< above sheet thickness
  double handling{0.15};            ///< surcharge for cutting to size
};

/// Hours a week that a batch can have: usual, and in a good week. All persons of a role, all machines, together.
struct Week {
  double owner{18}, ownerBest{18};
  double machinist{26}, machinistBest{30};
  double bench{28}, benchBest{28};
  double packing{10}, packingBest{16};
  double spindle{25}, spindleBest{35};  ///< a single shift
};

/// The sheet that blanks are nested on for the buy list.
struct Sheet {
  Length length{mm(610)}, width{mm(305)};
  Length kerf{mm(1.5)};  ///< lost between blanks
};

struct Shop {
  std::string name{"built-in starting values"};
  std::string file;  ///< empty: built in
  std::string currency{"EUR"};
  int decimals{2};
  std::string material{"Ti-6Al-4V"};
  int piecesPerSet{1};                           ///< plates in one tool; the mate is taken as a mirror
  std::vector<int> batches{1, 10, 25, 50, 100};  ///< sets
  Rates rates;
  MachineSide machineSide;
  Bench bench;
  Scrap scrap;
  OncePerDesign once;
  Boss boss;
  Wire wire;
  BlankRules blank;
  Week week;
  Sheet sheet;
  motion::Machine machine;
  path::Practice practice;
  cutting::CuttingTables tables;
  std::vector<cutting::Cutter> crib;
  std::map<std::string, stock::PlateRules> plates;  ///< by material name
  std::map<std::string, std::string> colours;       ///< "#rrggbb" -> "tight", "thread", "cosmetic", "leave as rolled"
  std::map<std::string, Assumption> origin;         ///< by setting key: who said so; absent: the setting's own source
};

/// Defaults: built-in tables, crib and plates with the values above.
Shop builtInShop();

/// Plates and crib anew from the tables and the blank's rules, after either has changed.
void refreshPlates(Shop& shop);

/// One number of the shop by name, for shop files, sweeps and what-ifs.
struct Setting {
  std::string key;       ///< "rates.machine_per_hour": table and key of the shop file
  std::string unit;      ///< "per hour", "min", "share", "mm"
  double low{}, high{};  ///< possible values
  From from{From::Guessed};
  std::string source;
  double (*get)(const Shop&){};
  void (*set)(Shop&, double){};
};
/// All of them, in the order of the shop file.
const std::vector<Setting>& settings();
const Setting* findSetting(const std::string& key);
/// Every setting and machine value in force with unit, from and source (tables: cutting::listTables).
Assumptions describe(const Shop& shop);

}  // namespace chipledger::shop
