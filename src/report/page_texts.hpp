#pragma once
// Style and scripts of the HTML pages, from src/report/page, written into each page.

namespace chipledger::report {

extern const char* const kPageStyle;
extern const char* const kPageScript;   ///< lighting, batch, opened numbers
extern const char* const kSolidScript;  ///< the part to turn; does nothing where there is no WebGL

}  // namespace chipledger::report
