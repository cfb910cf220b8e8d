#pragma once
// Files of one test run in the tests' temporary folder, taken away at its end.
#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdio>
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
  return *kept.paths.insert(testing::TempDir() + "part_" + std::to_string(::getpid()) + "_" + name).first;
}

}  // namespace chipledger
