#pragma once
// Numbers as text: the same bytes on every system and in every locale, never "-0".
#include <chipledger/ledger/ledger.hpp>
#include <chipledger/units/counts.hpp>
#include <chipledger/units/money.hpp>
#include <chipledger/units/quantity.hpp>

#include <string>

namespace chipledger::report {

/// Shortest decimal text that reads back as the same double; "null" for what is not a finite number.
std::string shortest(double value);
/// Fixed count of decimals, halves as the C library rounds the stored binary value.
std::string fixed(double value, int decimals);
/// At most `decimals` decimals, trailing zeros dropped: 6.350 -> "6.35", 2.000 -> "2".
std::string trimmed(double value, int decimals = 3);
/// `fixed` with a leading + on what is above zero.
std::string withSign(double value, int decimals);

std::string moneyText(Money money);       ///< two decimals: columns add up in sight
std::string moneyRounded(Money money);    ///< whole units from 100 up, one decimal below: for sentences
std::string moneySigned(Money money);     ///< two decimals with sign
std::string mmText(Length length);        ///< trimmed to 0.001 mm, no unit
std::string cm3Text(VolumeCount volume);  ///< two decimals, no unit
std::string minutesText(TimeCount time, int decimals = 1);
std::string percentText(double ratio);  ///< 0.791 -> "79 %"; one decimal below 10 %

/// Exact decimal values of the integer counts, each correctly rounded once.
double mm3Of(VolumeCount volume);
double minutesOf(TimeCount time);

}  // namespace chipledger::report
