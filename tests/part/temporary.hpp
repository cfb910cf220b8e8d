#pragma once
// Files of one test run in the tests' temporary folder, taken away at its end.
#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <set>
#include <string>

namespace chipledger {

inline std::string temporaryFile(const std::string& name) {
  struct Kept {
    std::set<std::string> paths;
    Kept() = default;
    Kept(const Kept&) = delete;
    Kept& operator=(const Kept&) = delete;
    ~Kept() {
      for (const std::string& path : paths) std::remove(path.c_str());
    }
  };
  static Kept kept;
  return *kept.paths
              .insert((std::filesystem::temp_directory_path() / ("part_" + std::to_string(::getpid()) + "_" + name))
                          .string())
              .first;
}

}  // namespace chipledger
