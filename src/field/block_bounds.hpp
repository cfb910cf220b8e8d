#pragma once
// Lowest and highest value of a field over a rectangle of its cells. Blocks of 4, 8, 16 ... cells keep theirs. Blocks
// are squares, and a rectangle takes in a little more than it covers; or pieces of single rows or columns, which tell
// exactly and suit lines that follow one.
#include <chipledger/field/grid.hpp>

#include <vector>

namespace chipledger::field {

class BlockBounds {
public:
  struct Range {
    std::int32_t low{}, high{};
  };
  /// Cells i0..i1, j0..j1.
  struct Cells {
    int i0{}, i1{}, j0{}, j1{};
  };

  enum class Shape { Square, RowPiece, ColumnPiece };

  /// Refers to the field.
  BlockBounds(const HeightField& field, Shape shape);
  /// Holds every value of the rectangle, which must lie within the grid. Squares: of up to four a side. Pieces: a few
  /// per doubling of the length, for each row or column.
  Range over(const Cells& cells) const;

private:
  struct Level {
    int nx{}, ny{};
    int shiftX{}, shiftY{};  ///< a block is 2^shift cells wide
    std::vector<Range> blocks;
    std::size_t at(int i, int j) const {
      return static_cast<std::size_t>(j) * static_cast<std::size_t>(nx) + static_cast<std::size_t>(i);
    }
  };
  Range inSquares(const Cells& cells) const;
  Range inPieces(int line, int from, int to) const;
  const HeightField* field_{};
  Shape shape_{};
  std::vector<Level> levels_;
};

}  // namespace chipledger::field
