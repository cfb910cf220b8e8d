#include <chipledger/report/json.hpp>

#include "report/json_value.hpp"

namespace chipledger::report {

std::string lookJson(const part::Part& part, const part::Body& body, const setup::Plan& plan,
                     const detail::Details& details) {
  Json bodies = Json::array();
  for (const part::Body& b : part.bodies) {
    bodies.push_back(Json{{"name", b.name},
                          {"quantity", b.quantity},
                          {"fingerprint", b.fingerprint},
                          {"faces", b.faces.size()},
                          {"volume_mm3", toMm3(b.volume)},
                          {"volume_certain", b.volumeCertain},
                          {"area_mm2", toMm2(b.area)},
                          {"size_mm", jsonOf(b.box.size())}});
  }
  Json faces = Json::array();
  for (const part::Face& face : body.faces) {
    faces.push_back(Json{{"name", face.name},
                         {"kind", slug(part::word(face.kind))},
                         {"area_mm2", toMm2(face.area)},
                         {"radius_mm", toMm(face.radius)}});
  }
  Json setups = Json::array();
  for (const setup::Setup& s : plan.setups) {
    setups.push_back(Json{{"name", s.name},
                          {"direction", jsonOf(s.direction)},
                          {"part_to_setup", jsonOf(s.partToSetup)},
                          {"holding", slug(setup::word(s.holding))},
                          {"faces", jsonOf(s.serves)}});
  }
  Json list = Json::array();
  for (const detail::Detail& d : details.list) {
    list.push_back(Json{{"name", d.name},
                        {"kind", slug(detail::word(d.kind))},
                        {"side", slug(detail::word(d.side))},
                        {"through", d.through},
                        {"dimensions", jsonOf(d.dimensions)},
                        {"faces", jsonOf(d.faces)},
                        {"called", d.called},
                        {"hint", d.hint}});
  }
  Notes notes = part.notes;
  notes.insert(notes.end(), plan.notes.begin(), plan.notes.end());
  notes.insert(notes.end(), details.notes.begin(), details.notes.end());
  return written(Json{{"schema", kLookSchema},
                      {"part",
                       {{"file", part.file},
                        {"step_schema", part.schema},
                        {"unit", part.unit},
                        {"declared_bodies", part.declaredBodies},
                        {"fingerprint", body.fingerprint},
                        {"face_names", faceNames(body)}}},
                      {"bodies", std::move(bodies)},
                      {"faces", std::move(faces)},
                      {"setups", std::move(setups)},
                      {"unseen_faces", jsonOf(plan.unseen)},
                      {"details", std::move(list)},
                      {"questions", jsonOf(details.questions)},
                      {"warnings", jsonOf(notes)}});
}

}  // namespace chipledger::report
