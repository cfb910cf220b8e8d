#include <chipledger/report/number.hpp>
#include <chipledger/report/sections.hpp>
#include <chipledger/report/terminal.hpp>
#include <chipledger/report/wording.hpp>

#include "report/terminal_parts.hpp"

namespace chipledger::report {

namespace {

std::string bodiesTable(const part::Part& part, const TerminalOptions& options) {
  Table table({{"body", "", Align::Left, 0, true},
               {"count", "", Align::Right, 2},
               {"faces", ""},
               {"volume", "mm\u00b3"},
               {"area", "mm\u00b2", Align::Right, 1},
               {"size in the file", "mm", Align::Left, 3}});
  for (const part::Body& body : part.bodies) {
    const Vec3 size = body.box.size();
    table.add({body.name.empty() ? "(no name)" : plain(body.name), std::to_string(body.quantity),
               std::to_string(body.faces.size()), fixed(toMm3(body.volume), 2) + (body.volumeCertain ? "" : " ?"),
               fixed(toMm2(body.area), 1), trimmed(size.x) + " x " + trimmed(size.y) + " x " + trimmed(size.z)});
  }
  return table.text(options);
}

std::string directionsTable(const setup::Plan& plan, const TerminalOptions& options) {
  Table table({{"direction", "", Align::Left},
               {"looks along", "part axes", Align::Left},
               {"faces", "", Align::Right},
               {"holding", "", Align::Left, 1}});
  for (const setup::Setup& s : plan.setups) {
    table.add({plain(s.name), directionText(s.direction), std::to_string(s.serves.size()), setup::word(s.holding)});
  }
  return table.text(options);
}

std::string detailsTable(const detail::Details& details, const TerminalOptions& options) {
  Table table({{"detail", "", Align::Left},
               {"kind", "", Align::Left, 2},
               {"dimensions", "mm", Align::Left, 0, true},
               {"side", "", Align::Left, 1},
               {"faces", "", Align::Right, 3}});
  for (const detail::Detail& d : details.list) {
    table.add({plain(d.name), detail::word(d.kind), dimensionsText(d.dimensions) + (d.through ? ", through" : ""),
               detail::word(d.side), std::to_string(d.faces.size())});
    std::string said = d.called.empty() || d.called == d.name ? "" : "called \"" + plain(d.called) + "\"";
    if (!d.hint.empty() && d.hint != d.called) said += (said.empty() ? "" : ", ") + plain(d.hint);
    if (!said.empty()) table.note("the file says: " + said);
  }
  return table.text(options);
}

}  // namespace

std::string renderLook(const part::Part& part, const part::Body& body, const setup::Plan& plan,
                       const detail::Details& details, const TerminalOptions& options) {
  std::string out = headingText(kWhatYouDrew, options);
  out += labelled("file", part.file, options);
  out += labelled("unit in the file", part.unit.empty() ? "none stated: read as mm" : part.unit, options,
                  part.unit.empty() ? Tone::Alert : Tone::Plain);
  out += labelled(
      "bodies",
      std::to_string(part.bodies.size()) + " different, " + std::to_string(part.declaredBodies) + " named in the file",
      options);
  out += labelled("fingerprint", body.fingerprint, options);
  out += '\n' + bodiesTable(part, options);
  out += '\n' + directionsTable(plan, options);
  if (!plan.unseen.empty()) {
    out += labelled("seen from nowhere", std::to_string(plan.unseen.size()) + " faces: undercuts for a 3-axis mill",
                    options, Tone::Alert);
  }
  out += '\n' + labelled("details", kindsText(details), options);
  out += '\n' + detailsTable(details, options);

  out += headingText(kDoubts, options);
  std::string doubts;
  for (const NoteSeverity severity : {NoteSeverity::LeftOut, NoteSeverity::Doubt, NoteSeverity::Info}) {
    for (const Notes* notes : {&part.notes, &plan.notes, &details.notes})
      doubts += notesText(*notes, severity, "", options);
  }
  out += doubts.empty() ? paragraph("None found.", options) : doubts;
  out += headingText(kStillToAnswer, options);
  out += questionsText(details.questions, options);
  return out;
}

}  // namespace chipledger::report
