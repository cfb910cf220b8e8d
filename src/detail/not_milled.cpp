#include "detail/not_milled.hpp"

namespace chipledger::detail {
void addNotMilled(Details&, const part::Body&, const setup::Plan&) {}
}  // namespace chipledger::detail
