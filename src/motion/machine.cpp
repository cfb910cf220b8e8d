#include <chipledger/motion/machine.hpp>

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

namespace chipledger::motion {

namespace {

const char* const kCommon = "common practice, no source";

#define CL_AXIS(AXIS)                                                                                              \
  MachineValue{#AXIS "_top_speed_m_per_min",                                                                       \
               "m/min",                                                                                            \
               0.5,                                                                                                \
               200,                                                                                                \
               [](const Machine& m) { return toMPerMin(m.AXIS.top); },                                             \
               [](Machine& m, double v) { m.AXIS.top = mPerMin(v); }},                                             \
      MachineValue{#AXIS "_acceleration_m_per_s2",                                                                 \
                   "m/s2",                                                                                         \
                   0.05,                                                                                           \
                   100,                                                                                            \
                   [](const Machine& m) { return toMmPerSecond2(m.AXIS.acceleration) / 1000.0; },                  \
                   [](Machine& m, double v) { m.AXIS.acceleration = mPerSecond2(v); }},                            \
      MachineValue {                                                                                               \
#AXIS "_jerk_m_per_s3", "m/s3", 0.5, 10000,                                                                    \
        [](const Machine&                                                                                          \
               m) { return toMmPerSecond3(m.AXIS.jerk) / 1000.0; }, [](Machine & m,                                \
                                                                       double v) { m.AXIS.jerk = mPerSecond3(v); } \
  }

#define CL_SECONDS(KEY, LOW, HIGH, FIELD)                                     \
  MachineValue {                                                              \
    KEY, "s", LOW, HIGH, [](const Machine& m) { return toSeconds(m.FIELD); }, \
        [](Machine& m, double v) { m.FIELD = seconds(v); }                    \
  }

std::vector<MachineValue> makeValues() {
  return {
      CL_AXIS(x),
      CL_AXIS(y),
      CL_AXIS(z),
      MachineValue{"rapid_m_per_min", "m/min", 0.5, 200, [](const Machine& m) { return toMPerMin(m.rapid); },
                   [](Machine& m, double v) { m.rapid = mPerMin(v); }},
      MachineValue{"corner_tolerance_mm", "mm", 0.0005, 1, [](const Machine& m) { return toMm(m.cornerTolerance); },
                   [](Machine& m, double v) { m.cornerTolerance = mm(v); }},
      MachineValue{"corner_factor", "share", 0.05, 2, [](const Machine& m) { return m.cornerFactor; },
                   [](Machine& m, double v) { m.cornerFactor = v; }},
      CL_SECONDS("block_time_s", 0, 1, blockTime),
      CL_SECONDS("in_position_s", 0, 5, inPosition),
      MachineValue{"spindle_lowest_rpm", "rpm", 0, 100000, [](const Machine& m) { return m.spindle.lowest.rpm; },
                   [](Machine& m, double v) { m.spindle.lowest = rpm(v); }},
      MachineValue{"spindle_highest_rpm", "rpm", 100, 200000, [](const Machine& m) { return m.spindle.highest.rpm; },
                   [](Machine& m, double v) { m.spindle.highest = rpm(v); }},
      MachineValue{"spindle_power_kw", "kW", 0.05, 200, [](const Machine& m) { return toKilowatts(m.spindle.power); },
                   [](Machine& m, double v) { m.spindle.power = kilowatts(v); }},
      MachineValue{"spindle_torque_nm", "N m", 0.05, 2000,
                   [](const Machine& m) { return toNewtonMetres(m.spindle.torque); },
                   [](Machine& m, double v) { m.spindle.torque = newtonMetres(v); }},
      CL_SECONDS("spin_up_s", 0, 120, spinUp),
      CL_SECONDS("tool_change_s", 0, 600, toolChange),
      CL_SECONDS("coolant_delay_s", 0, 60, coolantDelay),
      CL_SECONDS("probe_s", 0, 600, probe),
  };
}

#undef CL_AXIS
#undef CL_SECONDS

AxisLimits axis(double topMPerMin, double accelerationMPerS2, double jerkMPerS3) {
  return {mPerMin(topMPerMin), mPerSecond2(accelerationMPerS2), mPerSecond3(jerkMPerS3)};
}

Machine guessed(Machine machine) {
  for (const MachineValue& value : machineValues())
    machine.sources.push_back({value.key, value.get(machine), value.unit, From::Guessed, kCommon});
  return machine;
}

double between(double x, double x0, double x1, double y0, double y1) {
  return x1 > x0 ? y0 + (y1 - y0) * (x - x0) / (x1 - x0) : y0;
}

template <class Read>
double onCurve(const Machine& machine, SpindleSpeed speed, double whole, Read read) {
  const auto& curve = machine.spindleCurve;
  if (curve.empty()) return whole;
  if (speed.rpm <= curve.front().speed.rpm) return read(curve.front());
  for (std::size_t i = 1; i < curve.size(); ++i)
    if (speed.rpm <= curve[i].speed.rpm)
      return between(speed.rpm, curve[i - 1].speed.rpm, curve[i].speed.rpm, read(curve[i - 1]), read(curve[i]));
  return read(curve.back());
}

}  // namespace

Machine smallVerticalMill() {
  Machine m;
  m.name = "small vertical mill";
  m.about = "12,000 rpm belt spindle, ordinary control, 400 to 600 mm of travel";
  m.x = m.y = axis(20, 4, 40);
  m.z = axis(20, 4, 40);
  m.rapid = mPerMin(20);
  m.spindle = {rpm(100), rpm(12000), kilowatts(7.5), newtonMetres(36)};
  m.spindleCurve = {{rpm(100), newtonMetres(36), kilowatts(0.38)},
                    {rpm(2000), newtonMetres(36), kilowatts(7.5)},
                    {rpm(12000), newtonMetres(6), kilowatts(7.5)}};
  m.spinUp = seconds(2.5);
  m.toolChange = seconds(6);
  return guessed(std::move(m));
}

Machine lightHighSpeedMill() {
  Machine m;
  m.name = "light high-speed mill";
  m.about = "24,000 rpm motor spindle with little torque low down, light and quick axes";
  m.x = m.y = axis(30, 6, 80);
  m.z = axis(24, 5, 80);
  m.rapid = mPerMin(30);
  m.cornerTolerance = mm(0.008);
  m.blockTime = seconds(0.0005);
  m.inPosition = seconds(0.03);
  m.spindle = {rpm(2000), rpm(24000), kilowatts(5), newtonMetres(4.5)};
  m.spindleCurve = {{rpm(2000), newtonMetres(4.5), kilowatts(0.94)},
                    {rpm(10600), newtonMetres(4.5), kilowatts(5)},
                    {rpm(24000), newtonMetres(2), kilowatts(5)}};
  m.spinUp = seconds(1.5);
  m.toolChange = seconds(5);
  return guessed(std::move(m));
}

Machine stiffVerticalMill() {
  Machine m;
  m.name = "stiff vertical mill";
  m.about = "10,000 rpm geared-down spindle, heavy table, older control";
  m.x = m.y = axis(24, 3, 20);
  m.z = axis(18, 2.5, 20);
  m.rapid = mPerMin(18);
  m.cornerTolerance = mm(0.015);
  m.blockTime = seconds(0.003);
  m.inPosition = seconds(0.08);
  m.spindle = {rpm(50), rpm(10000), kilowatts(11), newtonMetres(70)};
  m.spindleCurve = {{rpm(50), newtonMetres(70), kilowatts(0.37)},
                    {rpm(1500), newtonMetres(70), kilowatts(11)},
                    {rpm(10000), newtonMetres(10.5), kilowatts(11)}};
  m.spinUp = seconds(3.5);
  m.toolChange = seconds(8);
  return guessed(std::move(m));
}

std::vector<Machine> genericMachines() { return {smallVerticalMill(), lightHighSpeedMill(), stiffVerticalMill()}; }

const std::vector<MachineValue>& machineValues() {
  static const std::vector<MachineValue> all = makeValues();
  return all;
}

Assumptions describe(const Machine& machine) {
  Assumptions list;
  for (const MachineValue& value : machineValues()) {
    Assumption entry{std::string("machine.") + value.key, value.get(machine), value.unit, From::Guessed, kCommon};
    for (const Assumption& source : machine.sources)
      if (source.name == value.key) {
        entry.from = source.from;
        entry.source = source.source;
      }
    list.push_back(std::move(entry));
  }
  return list;
}

Result<Machine> checked(Machine machine) {
  for (const MachineValue& value : machineValues()) {
    const double v = value.get(machine);
    if (!(v >= value.low && v <= value.high))
      return fault(FaultCode::Usage, std::string("machine.") + value.key,
                   fmt::format("{:g} {} cannot be: possible is {:g} to {:g}.", v, value.unit, value.low, value.high),
                   "Correct the value in the shop file.");
  }
  if (machine.spindle.lowest >= machine.spindle.highest)
    return fault(FaultCode::Usage, "machine.spindle_highest_rpm", "The highest spindle speed is not above the lowest.",
                 "Correct one of the two in the shop file.");
  for (std::size_t i = 1; i < machine.spindleCurve.size(); ++i)
    if (!(machine.spindleCurve[i - 1].speed < machine.spindleCurve[i].speed))
      return fault(FaultCode::Usage, "machine.spindle_curve", "The speeds of the torque curve do not rise.",
                   "List the points by rising speed.");
  return machine;
}

Torque torqueAt(const Machine& machine, SpindleSpeed speed) {
  return newtonMetres(onCurve(machine, speed, toNewtonMetres(machine.spindle.torque),
                              [](const SpindlePoint& p) { return toNewtonMetres(p.torque); }));
}

Power powerAt(const Machine& machine, SpindleSpeed speed) {
  return kilowatts(onCurve(machine, speed, toKilowatts(machine.spindle.power),
                           [](const SpindlePoint& p) { return toKilowatts(p.power); }));
}

cutting::SpindleLimits spindleAt(const Machine& machine, SpindleSpeed speed) {
  return {machine.spindle.lowest, machine.spindle.highest, powerAt(machine, speed), torqueAt(machine, speed)};
}

Duration spindleChange(const Machine& machine, SpindleSpeed from, SpindleSpeed to) {
  return machine.spinUp * (std::abs(to.rpm - from.rpm) / machine.spindle.highest.rpm);
}

}  // namespace chipledger::motion
