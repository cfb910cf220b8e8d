#pragma once
// A process per job. The job's process writes its answer (length, bytes) into a pipe; a guardian above it waits for its
// end and adds a last record that says how it ended. So the asking side needs no child of its own and any thread may
// ask.
#include <chipledger/part/read.hpp>

#include "reader_job.hpp"

namespace chipledger::part {

struct JobEnd {
  enum class How { Answered, TimeOut, OutOfMemory, Crashed, Refused } how{How::Answered};
  int signal{};
  std::string answer;  ///< only when Answered
};

JobEnd runJob(const ReadJob& job);

}  // namespace chipledger::part
