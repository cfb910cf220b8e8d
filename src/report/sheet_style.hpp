#pragma once
// Style and script of the HTML sheet, written into it.

namespace chipledger::report {

extern const char* const kSheetStyle;
extern const char* const kSheetScript;

}  // namespace chipledger::report
