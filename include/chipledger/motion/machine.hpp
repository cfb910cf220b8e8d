#pragma once
// A three-axis milling machine as far as time on it goes: how fast its axes move and change speed, how closely it keeps
// a corner, what a tool change and a spindle start take. Doors and clamps are people's minutes, not the machine's.
// Every limit is per axis: along a unit direction d an axis limit L allows min over axes of L_axis / |d_axis|.
#include <chipledger/cutting/conditions.hpp>
#include <chipledger/result/provenance.hpp>
#include <chipledger/result/result.hpp>
#include <chipledger/units/quantity.hpp>

#include <string>
#include <vector>

namespace chipledger::motion {

struct AxisLimits {
  Speed top{mPerMin(20)};  ///< fastest feed of this axis
  Acceleration acceleration{mPerSecond2(4)};
  Jerk jerk{mPerSecond3(40)};
};

/// Continuous power and torque at one spindle speed; straight lines between points.
struct SpindlePoint {
  SpindleSpeed speed{};
  Torque torque{};
  Power power{};
};

struct Machine {
  std::string name;
  std::string about;  ///< one sentence for the reader
  AxisLimits x, y, z;
  Speed rapid{mPerMin(20)};                ///< positioning speed of each axis (not above its top speed)
  Length cornerTolerance{mm(0.01)};        ///< how far the path may cut a corner
  double cornerFactor{0.6};                ///< share of the theoretical corner speed that the control really uses
  Duration blockTime{seconds(0.001)};      ///< the control needs this for each line or arc
  Duration inPosition{seconds(0.05)};      ///< settling at the end of each rapid
  cutting::SpindleLimits spindle;          ///< range, and the best torque and power
  std::vector<SpindlePoint> spindleCurve;  ///< rising speeds; empty: torque and power of `spindle` at any speed
  Duration spinUp{seconds(3)};             ///< rest to the highest speed; other changes in proportion
  Duration toolChange{seconds(8)};         ///< chip to chip, without rapids and spindle start
  Duration coolantDelay{seconds(1)};       ///< after coolant is switched on
  Duration probe{seconds(12)};             ///< one touch of the probe, approach included
  Assumptions sources;                     ///< where each value is from, by the names of machineValues()
};

/// Invented generic machines; every value guessed unless its entry says otherwise.
Machine smallVerticalMill();   ///< 12,000 rpm, belt spindle, ordinary control
Machine lightHighSpeedMill();  ///< 24,000 rpm motor spindle, little torque low down, quick axes
Machine stiffVerticalMill();   ///< 10,000 rpm, strong and heavy, slower jerk
std::vector<Machine> genericMachines();

/// One number of the machine by name, for shop files and reports.
struct MachineValue {
  const char* key;  ///< "x_jerk_m_per_s3"
  const char* unit;
  double low, high;  ///< possible values
  double (*get)(const Machine&);
  void (*set)(Machine&, double);
};
const std::vector<MachineValue>& machineValues();
/// Every value in force, in the order of machineValues(): name "machine.<key>".
Assumptions describe(const Machine& machine);
/// The machine itself, or Usage with the first value that cannot be.
Result<Machine> checked(Machine machine);

Torque torqueAt(const Machine& machine, SpindleSpeed speed);
Power powerAt(const Machine& machine, SpindleSpeed speed);
/// What the spindle can do at this speed, for choosing conditions.
cutting::SpindleLimits spindleAt(const Machine& machine, SpindleSpeed speed);
/// Time to change the spindle speed; stopping and starting the other way is |from| + |to|.
Duration spindleChange(const Machine& machine, SpindleSpeed from, SpindleSpeed to);

}  // namespace chipledger::motion
