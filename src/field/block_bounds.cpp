#include "field/block_bounds.hpp"

#include <algorithm>
#include <limits>

namespace chipledger::field {
namespace {

using Range = BlockBounds::Range;
constexpr Range kNone{std::numeric_limits<std::int32_t>::max(), std::numeric_limits<std::int32_t>::min()};
constexpr int kFirstShift = 2;

Range joined(Range a, Range b) { return {std::min(a.low, b.low), std::max(a.high, b.high)}; }
int blocks(int count, int shift) { return ((count - 1) >> shift) + 1; }

}  // namespace

BlockBounds::BlockBounds(const HeightField& field, Shape shape) : field_(&field), shape_(shape) {
  const GridSpec& g = field.spec;
  if (g.nx <= 0 || g.ny <= 0) return;
  const bool wide = shape != Shape::ColumnPiece, high = shape != Shape::RowPiece;
  const auto level = [&](int shift) {
    Level l;
    l.shiftX = wide ? shift : 0;
    l.shiftY = high ? shift : 0;
    l.nx = blocks(g.nx, l.shiftX);
    l.ny = blocks(g.ny, l.shiftY);
    l.blocks.assign(static_cast<std::size_t>(l.nx) * static_cast<std::size_t>(l.ny), kNone);
    return l;
  };
  levels_.push_back(level(kFirstShift));
  for (int j = 0; j < g.ny; ++j)
    for (int i = 0; i < g.nx; ++i) {
      Level& first = levels_.front();
      Range& block = first.blocks[first.at(i >> first.shiftX, j >> first.shiftY)];
      block = joined(block, {field(i, j), field(i, j)});
    }
  for (int shift = kFirstShift + 1; (wide && levels_.back().nx > 1) || (high && levels_.back().ny > 1); ++shift) {
    Level next = level(shift);
    const Level& fine = levels_.back();
    for (int j = 0; j < fine.ny; ++j)
      for (int i = 0; i < fine.nx; ++i) {
        Range& block = next.blocks[next.at(wide ? i / 2 : i, high ? j / 2 : j)];
        block = joined(block, fine.blocks[fine.at(i, j)]);
      }
    levels_.push_back(std::move(next));
  }
}

BlockBounds::Range BlockBounds::over(const Cells& c) const {
  if (shape_ == Shape::Square) return inSquares(c);
  Range range = kNone;
  if (shape_ == Shape::RowPiece)
    for (int j = c.j0; j <= c.j1; ++j) range = joined(range, inPieces(j, c.i0, c.i1));
  else
    for (int i = c.i0; i <= c.i1; ++i) range = joined(range, inPieces(i, c.j0, c.j1));
  return range;
}

BlockBounds::Range BlockBounds::inSquares(const Cells& c) const {
  constexpr int kMostASide = 4;
  int shift = kFirstShift;
  auto level = levels_.begin();
  while (level + 1 != levels_.end() &&
         std::max((c.i1 >> shift) - (c.i0 >> shift), (c.j1 >> shift) - (c.j0 >> shift)) >= kMostASide) {
    ++level;
    ++shift;
  }
  Range range = kNone;
  for (int j = c.j0 >> shift; j <= c.j1 >> shift; ++j)
    for (int i = c.i0 >> shift; i <= c.i1 >> shift; ++i) range = joined(range, level->blocks[level->at(i, j)]);
  return range;
}

// The ends cell by cell, then block by block upwards: a block that its pair does not go with is looked at.
BlockBounds::Range BlockBounds::inPieces(int line, int from, int to) const {
  const bool row = shape_ == Shape::RowPiece;
  Range range = kNone;
  int begin = from, end = to + 1;
  constexpr int kInFirst = 1 << kFirstShift;
  const auto cell = [&](int at) {
    const std::int32_t z = row ? (*field_)(at, line) : (*field_)(line, at);
    range = joined(range, {z, z});
  };
  while (begin < end && begin % kInFirst != 0) cell(begin++);
  while (begin < end && end % kInFirst != 0) cell(--end);
  begin >>= kFirstShift;
  end >>= kFirstShift;
  for (auto level = levels_.begin(); begin < end; ++level, begin /= 2, end /= 2) {
    const auto block = [&](int at) {
      range = joined(range, level->blocks[row ? level->at(at, line) : level->at(line, at)]);
    };
    if (begin % 2 != 0) block(begin++);
    if (end % 2 != 0) block(--end);
  }
  return range;
}

}  // namespace chipledger::field
