// Published examples of learning, yield, batch and break-even, each with its source beside it.
#include <gtest/gtest.h>
#include <chipledger/route/reckon.hpp>
#include <chipledger/shop/machine_hour.hpp>

#include <cmath>

using namespace chipledger;
using namespace chipledger::route;

namespace {

struct Row {
  const char* what;
  double computed, published, tolerance;  ///< relative
  const char* source;
};
void PrintTo(const Row& row, std::ostream* out) { *out << row.what; }
class Published : public testing::TestWithParam<Row> {};

TEST_P(Published, Value) {
  const Row& row = GetParam();
  EXPECT_NEAR(row.computed, row.published, row.tolerance * std::abs(row.published)) << row.what << ", " << row.source;
}

const char* const kManual =
    "Operations-management solutions manual, ch. 13 Learning Curves, coursehero.com/file/6536972";
const char* const kBoehmke =
    "B. Boehmke, learningCurve functions (2016), github.com/bradleyboehmke/bradleyboehmke, _posts/2016-06-20-16";
const char* const kWideman = "R. M. Wideman, Appendix 2: Learning Curve Mathematics, maxwideman.com/papers/resource";
const char* const kSharma = "P. C. Sharma, A Textbook of Production Engineering, 11th ed., S. Chand 2008";
const char* const kPanneerselvam = "R. Panneerselvam, Engineering Economics, PHI 2010";

double unit(double first, double rate, double n) { return first * meanOverLot(rate, n - 1, 1); }
double lot(double first, double rate, int from, int to) {
  return first * (to - from + 1) * meanOverLot(rate, from - 1, to - from + 1);
}

INSTANTIATE_TEST_SUITE_P(UnitLaw, Published,
                         testing::Values(Row{"hours of unit 5", unit(300, 0.8, 5), 178.7, 1e-4, kManual},
                                         Row{"hours of units 1-5", lot(300, 0.8, 1, 5), 1121.4, 1e-4, kManual},
                                         Row{"hours of units 1-18", lot(300, 0.8, 1, 18), 2914.8, 1e-4, kManual},
                                         Row{"hours of unit 3", unit(9, 0.7, 3), 5.114, 1.1e-4, kManual},
                                         Row{"hours of unit 5 at 70 %", unit(9, 0.7, 5), 3.932, 1.4e-4, kManual},
                                         Row{"minutes of units 1-3", lot(15, 0.7, 1, 3), 34.023, 1e-4, kManual},
                                         Row{"minutes of unit 8 (table factor 0.614 used there)", unit(75, 0.85, 8),
                                             46.05, 4.1e-4, kManual},
                                         Row{"minutes of unit 4", unit(60, 0.95, 4), 54.15, 1e-4, kManual},
                                         Row{"hours of unit 125", unit(100, 0.85, 125), 32.23647, 1e-4, kBoehmke},
                                         Row{"hours of units 1-125", lot(100, 0.85, 1, 125), 5201.085, 1e-4, kBoehmke},
                                         Row{"hours of units 201-500 after 125 h for unit 201",
                                             lot(125 / unit(1, 0.75, 201), 0.75, 201, 500), 30350.48, 1e-4, kBoehmke}));

INSTANTIATE_TEST_SUITE_P(
    AverageLaw, Published,
    testing::Values(
        Row{"hours of unit 2200", 110 * lotTimeByAverageLaw(0.885, 2200, 2200), 23.34001, 1e-4, kBoehmke},
        Row{"hours of units 201-250", 75 * lotTimeByAverageLaw(0.85, 201, 250), 806.772, 1e-4, kBoehmke},
        Row{"average minutes over 8 units", 10 * lotTimeByAverageLaw(0.9, 1, 8) / 8, 7.29, 1e-4,
            "Exam answer page (cumulative-average learning), gaodun.com/q/706idj"},
        Row{"second unit in % of the first", 100 * lotTimeByAverageLaw(0.8, 2, 2), 60, 1e-4, kWideman},
        Row{"average of four in % of the first", 100 * lotTimeByAverageLaw(0.8, 1, 4) / 4, 64, 1e-4, kWideman},
        Row{"error from 87 % instead of 85 % over 250",
            lotTimeByAverageLaw(0.87, 1, 250) / lotTimeByAverageLaw(0.85, 1, 250) - 1, 0.2035303, 1e-4, kBoehmke}));

INSTANTIATE_TEST_SUITE_P(
    YieldByStage, Published,
    testing::Values(Row{"quantity to start, losses 3, 5, 7 %", 1000 * rollYield({0.97, 0.95, 0.93}).entering[0],
                        1166.86, 1e-4,
                        "three-step scrap exercise, facilities-planning textbook problem, medicalessays.com"},
                    Row{"rolled yield, %", 100 * rollYield({0.95, 0.92, 0.97}).rolled, 84.8, 5.2e-4,
                        "Quality, Yield and Cost problems, Fall 2011, coursehero.com/file/6499461"}));

INSTANTIATE_TEST_SUITE_P(BreakEven, Published,
                         testing::Values(Row{"units", static_cast<double>(*breakEven(money(2000000), money(200 - 100))),
                                             20000, 0, kPanneerselvam},
                                         Row{"pieces to pay for a fixture of 1000 that takes the piece from 3 to 1",
                                             static_cast<double>(*breakEven(money(1000), money(3 - 1))), 500, 0,
                                             kSharma}));

double perHour(const std::vector<double>& yearly, double hours) {
  double sum = 0;
  for (double v : yearly) sum += v;
  shop::MachineHour m;
  m.years = 1;
  m.service = sum;
  m.productiveHours = hours;
  return shop::hourlyRate(m);
}

double yearlyOf(double price, double resale, double years) {
  shop::MachineHour m;
  m.price = price;
  m.resale = resale;
  m.years = years;
  return shop::yearlyCost(m);
}

INSTANTIATE_TEST_SUITE_P(MachineHour, Published,
                         testing::Values(Row{"rate from eight yearly costs over 1800 h",
                                             perHour({1800, 450, 90, 2400, 5400, 2160, 216, 675}, 1800), 7.33, 4.8e-4,
                                             "machine-hour-rate exercise, studyx.ai/homework/104556362"},
                                         Row{"straight-line depreciation", yearlyOf(100000, 20000, 8), 10000, 0,
                                             kPanneerselvam}));

/// Materials and wages with overhead on wages, then on everything: (mat + w (1 + oh)) (1 + nonmfg).
Stack rollUp(double materials, double wages, double onWages, double onAll) {
  return stackUp({{"materials", Layer::Set, money(materials), {}, true, ""},
                  {"wages", Layer::Set, money(wages), {}, true, ""},
                  {"factory overhead", Layer::Set, money(wages * onWages), {}, true, ""}},
                 onAll, 1);
}
/// Selling price at a profit on cost: margin on received = p / (1 + p).
double sellingPrice(const Stack& stack, double profit) {
  return toUnits(*listToKeep(stack.cost, profit / (1 + profit), SaleTerms{}));
}

INSTANTIATE_TEST_SUITE_P(
    RollUp, Published,
    testing::Values(Row{"total cost", toUnits(rollUp(5500, 3000, 1, 0.15).cost), 13225, 1e-9, kSharma},
                    Row{"selling price at 12 %", sellingPrice(rollUp(5500, 3000, 1, 0.15), 0.12), 14812, 1e-4, kSharma},
                    Row{"selling price at 10 %", sellingPrice(rollUp(20000, 30000, 1, 0.125), 0.10), 99000, 1e-9,
                        kSharma}));

// Cost allowed by a price of 65 with 20 % profit on the price, non-manufacturing overhead 40 %: 37.14; less material
// 15, factory overhead 40 % on wages of 2 an hour: 7.908 working hours.
TEST(Published, HoursAllowedByAPrice) {
  Terms terms;
  const Money allowed = costAllowed(money(65), 0.20, terms);
  const double hours = (toUnits(allowed) / 1.4 - 15) / 1.4 / 2;
  EXPECT_NEAR(hours, 7.908, 1e-3) << kSharma;
}

// 40 parts, 4 set-ups of 45 min, 12 min machine and 21 min hand work, fatigue 20 %, personal 5 %, cutter change 10 min
// per 8 h of machine, check 1.25 min, performance 140 %, 5 an hour: 220.50. Sharma, Ex. 4.10.
TEST(Published, BatchWithSetUps) {
  RouteInputs in;
  Job settingUp, work;
  settingUp.name = "setting up";
  settingUp.who = Who::Machinist;
  settingUp.perBatch_min = 4 * 45 * 1.4;
  work.name = "work";
  work.who = Who::Machinist;
  work.perSet_min = ((12 + 21) * 1.25 + 12 * 10 / (8 * 60.0) + 1.25) * 1.4;
  in.jobs = {settingUp, work};
  in.rates.machinistPerHour = 5;
  EXPECT_NEAR(toUnits(Reckoner(in).at(40).stack.cost), 220.5, 0.01) << kSharma;
}

TEST(Published, ScrapCostByStage) {
  const char* source = "three-step scrap exercise, facilities-planning textbook problem, medicalessays.com";
  const Yield y = rollYield({0.97, 0.95, 0.93});
  EXPECT_EQ(std::round(1000 * y.entering[0] * 0.03) * 5, 175) << source;
}

TEST(Published, MachineMinutesAtHourlyRates) {
  const char* source =
      "R. Panneerselvam, Engineering Economics, PHI 2010, Ex. 2.6 (hours rounded to three decimals there)";
  const auto cost = [](std::initializer_list<std::pair<double, double>> steps) {
    double sum = 0;
    for (const auto& [minutes, rate] : steps) {
      RouteInputs in;
      Job job;
      job.name = "step";
      job.who = Who::Outside;
      job.perSet_min = minutes;
      in.jobs = {job};
      in.rates.outsidePerHour = rate;
      sum += toUnits(Reckoner(in).at(1).stack.cost);
    }
    return sum;
  };
  EXPECT_NEAR(cost({{5, 200}, {8, 400}, {10, 350}, {3, 300}}), 143.25, 0.0012 * 143.25) << source;
  EXPECT_NEAR(cost({{5, 200}, {14, 400}, {3, 300}}), 124.80, 0.002 * 124.80) << source;
  EXPECT_NEAR(cost({{8, 1000}}), 133, 0.004 * 133) << source;
}

}  // namespace
