#include <gtest/gtest.h>
#include <chipledger/motion/machine.hpp>

#include <set>

using namespace chipledger;
using namespace chipledger::motion;

TEST(Machine, GenericMachinesAreSoundAndEveryValueSaysWhereItIsFrom) {
  ASSERT_GE(genericMachines().size(), 2u);
  std::set<std::string> names;
  for (const Machine& m : genericMachines()) {
    EXPECT_TRUE(checked(m)) << m.name;
    EXPECT_TRUE(names.insert(m.name).second);
    EXPECT_FALSE(m.about.empty());
    const Assumptions list = describe(m);
    ASSERT_EQ(list.size(), machineValues().size());
    for (const Assumption& a : list) {
      EXPECT_EQ(a.from, From::Guessed) << a.name;
      EXPECT_FALSE(a.source.empty()) << a.name;
      EXPECT_FALSE(a.unit.empty()) << a.name;
    }
  }
}

TEST(Machine, EveryValueIsWrittenAndReadUnderItsName) {
  std::set<std::string> keys;
  for (const MachineValue& value : machineValues()) {
    Machine m = smallVerticalMill();
    const double v = value.low + 0.375 * (std::min(value.high, 40.0) - value.low);
    value.set(m, v);
    EXPECT_NEAR(value.get(m), v, 1e-12 * std::max(1.0, v)) << value.key;
    for (const MachineValue& other : machineValues()) {
      if (&other == &value) continue;
      EXPECT_EQ(other.get(m), other.get(smallVerticalMill())) << value.key << " changes " << other.key;
    }
    EXPECT_TRUE(keys.insert(value.key).second);
  }
}

TEST(Machine, AnImpossibleValueIsAFaultWithItsName) {
  for (const MachineValue& value : machineValues())
    for (const double wrong : {value.low - 1.0, value.high * 2.0 + 1.0, std::nan("")}) {
      Machine m = smallVerticalMill();
      value.set(m, wrong);
      const auto result = checked(m);
      ASSERT_FALSE(result) << value.key;
      EXPECT_EQ(result.error().where, std::string("machine.") + value.key);
      EXPECT_EQ(result.error().code, FaultCode::Usage);
    }
  Machine m = smallVerticalMill();
  m.spindle.lowest = rpm(12000);
  EXPECT_FALSE(checked(m));
  m = smallVerticalMill();
  std::swap(m.spindleCurve[0], m.spindleCurve[1]);
  EXPECT_FALSE(checked(m));
}

TEST(Machine, TorqueAndPowerFollowTheCurve) {
  for (const Machine& m : genericMachines()) {
    for (const SpindlePoint& p : m.spindleCurve) {
      // Power is torque times angular speed; a generic curve may round it.
      const double watts = toNewtonMetres(p.torque) * p.speed.rpm * 2 * std::numbers::pi / 60;
      EXPECT_NEAR(watts, toKilowatts(p.power) * 1000, 0.03 * watts) << m.name << " " << p.speed.rpm;
      EXPECT_EQ(torqueAt(m, p.speed), p.torque);
      EXPECT_EQ(powerAt(m, p.speed), p.power);
      EXPECT_LE(p.torque, m.spindle.torque);
      EXPECT_LE(p.power, m.spindle.power);
    }
  }
  const Machine m = smallVerticalMill();
  EXPECT_NEAR(toNewtonMetres(torqueAt(m, rpm(7000))), 21, 1e-9);  // half-way from 2,000 to 12,000 rpm
  EXPECT_NEAR(toKilowatts(powerAt(m, rpm(50))), 0.38, 1e-9);
  EXPECT_NEAR(toNewtonMetres(spindleAt(m, rpm(20000)).torque), 6, 1e-9);
  Machine flat;
  EXPECT_EQ(torqueAt(flat, rpm(5)), flat.spindle.torque);
}

TEST(Machine, SpindleChangeIsInProportion) {
  const Machine m = smallVerticalMill();
  EXPECT_EQ(spindleChange(m, rpm(0), rpm(12000)), m.spinUp);
  EXPECT_NEAR(toSeconds(spindleChange(m, rpm(9000), rpm(3000))), toSeconds(m.spinUp) / 2, 1e-12);
}
