#pragma once
// Errors are values. A Fault says what is wrong, where, and what to do; a Note is a doubt that travels with a result.
#include <string>
#include <tl/expected.hpp>
#include <utility>
#include <vector>

namespace chipledger {

/// Families of faults; the command line turns each into its exit code (see exitCode).
enum class FaultCode {
  Internal,    ///< a broken promise of our own: exit 1
  Usage,       ///< a wrong argument or option: exit 2
  BadFile,     ///< a file that cannot be read as what it should be: exit 3
  Limit,       ///< time, memory or size limit: exit 5
};

struct Fault {
  FaultCode code{FaultCode::Internal};
  std::string where;  ///< file, line, key or option
  std::string what;   ///< one sentence: what is wrong
  std::string next;   ///< one sentence: what to do
};

/// "where: what next" in one line.
std::string sentence(const Fault& fault);
int exitCode(FaultCode code);

/// T or a Fault; ignoring one does not compile quietly.
template <class T>
class [[nodiscard]] Result : public tl::expected<T, Fault> {
 public:
  using tl::expected<T, Fault>::expected;
};

inline tl::unexpected<Fault> fault(FaultCode code, std::string where, std::string what, std::string next) {
  return tl::make_unexpected(Fault{code, std::move(where), std::move(what), std::move(next)});
}

enum class NoteSeverity {
  Info,      ///< worth saying
  Doubt,     ///< an assumption that may move the price
  LeftOut,   ///< something the price does not contain: exit 4
};

struct Note {
  NoteSeverity severity{NoteSeverity::Info};
  std::string code;   ///< short, stable, kebab-case: "no-unit", "undercut"
  std::string text;   ///< one sentence for the owner
  std::string about;  ///< detail, face or file it is about; may be empty
};
using Notes = std::vector<Note>;

}  // namespace chipledger
