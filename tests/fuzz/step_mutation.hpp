#pragma once
// Damages a STEP text (ISO 10303-21) where it hurts: entities, references, numbers and lists, not single bytes. The
// kinds of damage are those that made geometry kernels crash, hang or answer wrongly.
#include <cstdint>
#include <string>
#include <vector>

namespace chipledger::fuzz {

enum class Damage {
  DropEntity,
  RepeatEntity,
  SwapEntities,
  RenameEntity,
  WrongReference,
  SelfReference,
  OddNumber,
  ShiftNumber,
  EmptyList,
  DropItem,
  FlipSense,
  LongString,
  NestDeeply,
  CutOff,
  Count
};

/// One damage of the kind at a place drawn from `seed`; the text as it was when there is no such place.
std::string damaged(const std::string& step, Damage kind, std::uint32_t seed);

}  // namespace chipledger::fuzz
