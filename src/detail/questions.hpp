#pragma once
// What a STEP cannot say.
#include <chipledger/detail/detail.hpp>

namespace chipledger::detail {

void addQuestions(Details& details, const RecogniseOptions& options);

}  // namespace chipledger::detail
