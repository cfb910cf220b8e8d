// Writes the sample parts of a folder anew: draw_samples FOLDER
#include <chipledger/draw/samples.hpp>

#include <cstdio>
#include <filesystem>
#include <fstream>

int main(int count, char** arguments) {
  if (count != 2) {
    std::fputs("usage: draw_samples FOLDER\n", stderr);
    return 2;
  }
  const auto files = chipledger::draw::makeSamples(arguments[1]);
  if (!files) {
    std::fprintf(stderr, "%s\n", chipledger::sentence(files.error()).c_str());
    return chipledger::exitCode(files.error().code);
  }
  for (const auto& file : *files) {
    const auto path = std::filesystem::path(arguments[1]) / file.name;
    std::ofstream out(path, std::ios::binary);
    out << file.text;
    out.close();
    if (!out) {
      std::fprintf(stderr, "%s cannot be written.\n", path.c_str());
      return 3;
    }
    std::fprintf(stderr, "%-28s %8zu bytes\n", file.name.c_str(), file.text.size());
  }
  return 0;
}
