#pragma once
// Lower envelope of equal parabolas g[p] + (q - p)^2 along a line of cells.
#include <vector>

namespace chipledger::field {

/// T: float for lengths, double where squares of whole numbers must stay exact beyond 4096 cells.
template <class T>
class Envelope {
public:
  explicit Envelope(int cells) : at_(static_cast<std::size_t>(cells)), from_(static_cast<std::size_t>(cells) + 1) {}

  /// result(q, p, value) for every q, p the parabola below all others there; values of `far` and above stand for "no
  /// parabola". Calls nothing if there is none.
  template <class Result>
  void run(const T* g, int n, T far, Result result) {
    int top = -1;
    for (int q = 0; q < n; ++q) {
      if (g[q] >= far) continue;
      T start = T(-1e30);
      while (top >= 0) {
        const int p = at_[static_cast<std::size_t>(top)];
        // Not (g_q + q^2 - g_p - p^2) / (2 (q - p)): the squares would swallow the rest in float.
        const T cross = (g[q] - g[p]) / static_cast<T>(2 * (q - p)) + static_cast<T>(q + p) / 2;
        if (cross > from_[static_cast<std::size_t>(top)]) {
          start = cross;
          break;
        }
        --top;
      }
      ++top;
      at_[static_cast<std::size_t>(top)] = q;
      from_[static_cast<std::size_t>(top)] = start;
    }
    if (top < 0) return;
    int k = 0;
    for (int q = 0; q < n; ++q) {
      while (k < top && from_[static_cast<std::size_t>(k) + 1] < static_cast<T>(q)) ++k;
      const int p = at_[static_cast<std::size_t>(k)];
      const T d = static_cast<T>(q - p);
      result(q, p, g[p] + d * d);
    }
  }

private:
  std::vector<int> at_;
  std::vector<T> from_;
};

}  // namespace chipledger::field
