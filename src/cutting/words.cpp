#include <fmt/format.h>

#include <array>

#include "cutting/row_reader.hpp"

namespace chipledger::cutting {
namespace {

constexpr std::array kCutKinds{CutKind::Rough,   CutKind::Slot,  CutKind::Wall,       CutKind::Floor,
                               CutKind::Chamfer, CutKind::Carve, CutKind::Spot,       CutKind::Drill,
                               CutKind::Ream,    CutKind::Tap,   CutKind::ThreadMill, CutKind::Saw};
constexpr std::array kCutterKinds{CutterKind::Flat,       CutterKind::Bull,  CutterKind::Ball,   CutterKind::Chamfer,
                                  CutterKind::SpotDrill,  CutterKind::Drill, CutterKind::Reamer, CutterKind::Tap,
                                  CutterKind::ThreadMill, CutterKind::Saw};

template <class Kinds>
std::string listed(const Kinds& kinds) {
  std::string text;
  for (const auto kind : kinds) text += (text.empty() ? "" : ", ") + std::string(word(kind));
  return text;
}

template <class Kinds>
auto findWord(const Kinds& kinds, const std::string& text) -> std::optional<typename Kinds::value_type> {
  for (const auto kind : kinds) {
    if (text == word(kind)) return kind;
  }
  return std::nullopt;
}

}  // namespace

const char* word(CutKind kind) {
  switch (kind) {
    case CutKind::Rough:
      return "rough";
    case CutKind::Slot:
      return "slot";
    case CutKind::Wall:
      return "wall";
    case CutKind::Floor:
      return "floor";
    case CutKind::Chamfer:
      return "chamfer";
    case CutKind::Carve:
      return "carve";
    case CutKind::Spot:
      return "spot";
    case CutKind::Drill:
      return "drill";
    case CutKind::Ream:
      return "ream";
    case CutKind::Tap:
      return "tap";
    case CutKind::ThreadMill:
      return "thread-mill";
    case CutKind::Saw:
      return "saw";
  }
  return "rough";
}

const char* word(CutterKind kind) {
  switch (kind) {
    case CutterKind::Flat:
      return "flat";
    case CutterKind::Bull:
      return "bull";
    case CutterKind::Ball:
      return "ball";
    case CutterKind::Chamfer:
      return "chamfer";
    case CutterKind::SpotDrill:
      return "spot drill";
    case CutterKind::Drill:
      return "drill";
    case CutterKind::Reamer:
      return "reamer";
    case CutterKind::Tap:
      return "tap";
    case CutterKind::ThreadMill:
      return "thread mill";
    case CutterKind::Saw:
      return "saw";
  }
  return "flat";
}

const char* word(Grade grade) {
  switch (grade) {
    case Grade::Seen:
      return "seen";
    case Grade::Reworked:
      return "reworked";
    case Grade::CommonPractice:
      return "common practice";
    case Grade::Memory:
      return "memory";
    case Grade::Own:
      return "own";
  }
  return "memory";
}

const char* word(ThinPart part) { return part == ThinPart::Floor ? "floor" : "wall"; }

const char* word(Held held) {
  switch (held) {
    case Held::Table:
      return "table step";
    case Held::Depth:
      return "depth of the work";
    case Held::Wear:
      return "cutter wear";
    case Held::SpeedRange:
      return "published speed";
    case Held::Spindle:
      return "spindle";
    case Held::Power:
      return "power";
    case Held::Torque:
      return "torque";
    case Held::Bending:
      return "bending";
    case Held::Stress:
      return "breaking";
    case Held::Reach:
      return "reach";
    case Held::Rubbing:
      return "rubbing";
    case Held::ThinFloor:
      return "thin floor";
    case Held::ThinWall:
      return "thin wall";
  }
  return "table step";
}

std::optional<CutKind> cutKindFromWord(const std::string& text) { return findWord(kCutKinds, text); }
std::optional<CutterKind> cutterKindFromWord(const std::string& text) { return findWord(kCutterKinds, text); }
std::string cutKindWords() { return listed(kCutKinds); }
std::string cutterKindWords() { return listed(kCutterKinds); }

std::optional<Grade> gradeFromWord(const std::string& text) {
  constexpr std::array kGrades{Grade::Seen, Grade::Reworked, Grade::CommonPractice, Grade::Memory, Grade::Own};
  return findWord(kGrades, text);
}

}  // namespace chipledger::cutting
