#pragma once
// Pieces shared by the terminal sheets.
#include <chipledger/estimate/estimate.hpp>
#include <chipledger/report/table.hpp>

#include <string>
#include <vector>

namespace chipledger::report {

/// Name and remark on one line, on two when the terminal is narrow.
std::string titleText(const std::string& name, const std::string& remark, const TerminalOptions& options);
std::string headingText(const std::string& words, const TerminalOptions& options);
/// "Label:  text", the text wrapped beside the label.
std::string labelled(const std::string& label, const std::string& text, const TerminalOptions& options,
                     Tone tone = Tone::Plain);
std::string notesText(const Notes& notes, NoteSeverity severity, const std::string& lead,
                      const TerminalOptions& options);
std::string questionsText(const std::vector<detail::Question>& questions, const TerminalOptions& options);
/// Changes that would make the part cheaper; `about` empty: all of them, else those about one detail. Empty text for
/// none.
std::string adviceText(const estimate::Estimate& estimate, const std::string& about, const TerminalOptions& options);
/// "3 islands, 1 lock cut, 2 bores".
std::string kindsText(const detail::Details& details);
std::string batchHead(int size);

}  // namespace chipledger::report
