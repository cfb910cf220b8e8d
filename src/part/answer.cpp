#include "answer.hpp"

#include <cstring>
#include <type_traits>

namespace chipledger::part {
namespace {

struct Writer {
  static constexpr bool kReads = false;
  std::string bytes;
  bool ok{true};
  void raw(void* from, std::size_t size) { bytes.append(static_cast<const char*>(from), size); }
};

struct Reader {
  static constexpr bool kReads = true;
  std::string_view bytes;
  bool ok{true};
  void raw(void* to, std::size_t size) {
    if (!ok || size > bytes.size()) {
      ok = false;
      return;
    }
    if (size > 0) std::memcpy(to, bytes.data(), size);
    bytes.remove_prefix(size);
  }
};

template <class T>
concept Plain = std::is_trivially_copyable_v<T>;

// One description of every struct serves both directions.
template <class Archive, Plain T>
void pass(Archive& a, T& value) {
  a.raw(&value, sizeof value);
}
template <class Archive, class T>
void pass(Archive& a, std::vector<T>& list);
template <class Archive>
void pass(Archive& a, std::string& text);
template <class Archive>
void pass(Archive& a, FaceLoop& loop) {
  pass(a, loop.uses);
  pass(a, loop.outer);
}
template <class Archive>
void pass(Archive& a, Face& f) {
  pass(a, f.id);
  pass(a, f.name);
  pass(a, f.colour);
  pass(a, f.kind);
  pass(a, f.disguised);
  pass(a, f.origin);
  pass(a, f.axis);
  pass(a, f.radius);
  pass(a, f.minorRadius);
  pass(a, f.halfAngle);
  pass(a, f.hollow);
  pass(a, f.area);
  pass(a, f.box);
  pass(a, f.loops);
  pass(a, f.samples);
}
template <class Archive>
void pass(Archive& a, Edge& e) {
  pass(a, e.id);
  pass(a, e.left);
  pass(a, e.right);
  pass(a, e.sense);
  pass(a, e.angle);
  pass(a, e.shape);
  pass(a, e.centre);
  pass(a, e.axis);
  pass(a, e.radius);
  pass(a, e.length);
  pass(a, e.points);
}
template <class Archive>
void pass(Archive& a, Mesh& m) {
  pass(a, m.points);
  pass(a, m.triangles);
  pass(a, m.triangleFace);
  pass(a, m.deflection_mm);
}
template <class Archive>
void pass(Archive& a, Body& b) {
  pass(a, b.name);
  pass(a, b.colour);
  pass(a, b.quantity);
  pass(a, b.volume);
  pass(a, b.volumeCertain);
  pass(a, b.area);
  pass(a, b.box);
  pass(a, b.faces);
  pass(a, b.edges);
  pass(a, b.mesh);
  pass(a, b.fingerprint);
}
template <class Archive>
void pass(Archive& a, Note& n) {
  pass(a, n.severity);
  pass(a, n.code);
  pass(a, n.text);
  pass(a, n.about);
}
template <class Archive>
void pass(Archive& a, Part& p) {
  pass(a, p.file);
  pass(a, p.schema);
  pass(a, p.unit);
  pass(a, p.bodies);
  pass(a, p.declaredBodies);
  pass(a, p.readSeconds);
  pass(a, p.notes);
}
template <class Archive>
void pass(Archive& a, Fault& f) {
  pass(a, f.code);
  pass(a, f.where);
  pass(a, f.what);
  pass(a, f.next);
}

template <class Archive, class T>
void pass(Archive& a, std::vector<T>& list) {
  std::uint64_t count = list.size();
  pass(a, count);
  if constexpr (Archive::kReads) {
    // A count beyond what the rest can hold is a broken answer, not a reason to allocate.
    if (!a.ok || count > a.bytes.size() / (Plain<T> ? sizeof(T) : 1)) {
      a.ok = false;
      return;
    }
    list.resize(count);
  }
  if constexpr (Plain<T>) {
    a.raw(list.data(), list.size() * sizeof(T));
  } else {
    for (T& item : list) pass(a, item);
  }
}
template <class Archive>
void pass(Archive& a, std::string& text) {
  std::uint64_t count = text.size();
  pass(a, count);
  if constexpr (Archive::kReads) {
    if (!a.ok || count > a.bytes.size()) {
      a.ok = false;
      return;
    }
    text.resize(count);
  }
  a.raw(text.data(), text.size());
}

}  // namespace

std::string encode(Result<Part> answer) {
  Writer w{};
  bool good = answer.has_value();
  pass(w, good);
  if (good) {
    pass(w, *answer);
  } else {
    pass(w, answer.error());
  }
  return std::move(w.bytes);
}

Result<Part> decode(std::string_view bytes) {
  Reader r{bytes};
  bool good = false;
  pass(r, good);
  Part part;
  Fault why;
  if (good) {
    pass(r, part);
  } else {
    pass(r, why);
  }
  if (!r.ok || !r.bytes.empty())
    return fault(FaultCode::Internal, "reader", "The reader's answer does not have its expected form.",
                 "Please send the file to the makers of this program.");
  if (!good) return tl::make_unexpected(std::move(why));
  return part;
}

}  // namespace chipledger::part
