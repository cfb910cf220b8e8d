#include <chipledger/geometry/polygon.hpp>
#include <chipledger/ledger/ledger.hpp>

int main() {
  chipledger::ledger::Ledger book;
  book.book({});
  return book.entries().size() == 1 && chipledger::area(chipledger::rectangle({0, 0}, {2, 3})) == 6.0 ? 0 : 1;
}
