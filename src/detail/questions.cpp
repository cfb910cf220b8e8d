#include "detail/questions.hpp"

namespace chipledger::detail {
void addQuestions(Details&, const RecogniseOptions&) {}
}  // namespace chipledger::detail
