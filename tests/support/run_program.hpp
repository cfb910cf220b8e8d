#pragma once
// Runs the built program as a user would and keeps what it said.
#include <sys/wait.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <sstream>
#include <string>

namespace chipledger::test {

struct Ran {
  int code{-1};
  std::string out, err;
};

inline std::string readText(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

inline void writeText(const std::filesystem::path& path, const std::string& text) {
  std::ofstream file(path, std::ios::binary);
  file << text;
}

/// A folder of this test's own, emptied first; two builds that test at the same time do not meet in it.
inline std::filesystem::path scratchFolder(const std::string& name) {
  const std::size_t build = std::hash<std::string>{}(CHIPLEDGER_BINARY);
  const auto path = std::filesystem::temp_directory_path() / ("chipledger-test-" + std::to_string(build) + "-" + name);
  std::filesystem::remove_all(path);
  std::filesystem::create_directories(path);
  return path;
}

inline Ran run(const std::string& arguments, const std::filesystem::path& folder, const std::string& environment = "") {
  const auto out = folder / "stdout.txt", err = folder / "stderr.txt";
  const std::string command = "cd '" + folder.string() + "' && " + environment + " '" CHIPLEDGER_BINARY "' " +
                              arguments + " >'" + out.string() + "' 2>'" + err.string() + "' </dev/null";
  const int status = std::system(command.c_str());
  Ran ran;
  ran.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  ran.out = readText(out);
  ran.err = readText(err);
  return ran;
}

inline std::string sample(const std::string& name) {
  std::string path = "'" CHIPLEDGER_SOURCE_DIR "/step_samples/";
  path += name;
  path += "'";
  return path;
}

}  // namespace chipledger::test
