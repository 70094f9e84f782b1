#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "libloop/quantity/unit.hpp"
#include "libloop/report/sections.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

// "12 %", "12 to 40 %"
std::string share_words(double low, double high) {
  const std::string first = fmt::format("{:.0f}", 100.0 * low);
  const std::string last = fmt::format("{:.0f} %", 100.0 * high);
  return first + " %" == last ? last : first + " to " + last;
}

// A note with the points it belongs to.
struct Remark {
  std::string name, text;
  Note::Kind kind = Note::Kind::validity;
  std::vector<std::string> where;
  std::size_t points = 0;  // of its cooler
};

void add(std::vector<Remark>& remarks, const std::string& name, const Note& note,
         const std::string& where, std::size_t points) {
  for (Remark& known : remarks) {
    if (known.name == name && known.text == note.text) return known.where.push_back(where);
  }
  remarks.push_back({name, note.text, note.kind, {where}, points});
}

std::vector<Remark> remarks_of(const std::vector<Told>& all) {
  std::vector<Remark> remarks;
  for (const Told& told : all) {
    for (const PredictedPoint& point : told.prediction.points) {
      for (const Note& note : point.typical.notes) {
        add(remarks, told.name, note, duty_label(point.duty), told.prediction.points.size());
      }
    }
  }
  return remarks;
}

// Points that keep below the chip's limit at typical values but not for all samples.
std::vector<Remark> chances(const std::vector<Told>& all) {
  constexpr double least = 0.05;
  std::vector<Remark> remarks;
  for (const Told& told : all) {
    const double limit = told.model.bench().chip.typical("limit");
    Remark remark{told.name, "", Note::Kind::caution, {}, told.prediction.points.size()};
    double low = 1.0, high = 0.0;
    for (const PredictedPoint& point : told.prediction.points) {
      const OperatingPoint& typical = point.typical;
      const bool below = typical.summary.usable && typical.chip_temperature <= limit;
      if (!below || point.above_limit < least) continue;
      remark.where.push_back(duty_label(point.duty));
      low = std::min(low, point.above_limit);
      high = std::max(high, point.above_limit);
    }
    if (remark.where.empty()) continue;
    remark.text = fmt::format(
        "may pass the chip's limit of {}: {} of the samples do; do not run {} unattended",
        show(limit, "C"), share_words(low, high),
        remark.where.size() == 1 ? "this point" : "these points");
    remarks.push_back(std::move(remark));
  }
  return remarks;
}

std::string where_words(const Remark& remark) {
  constexpr std::size_t most = 6;
  std::string where;
  if (remark.points > 1 && remark.where.size() == remark.points) {
    where = "all points";
  } else if (remark.where.size() > most) {
    where = fmt::format("{} of {} points", remark.where.size(), remark.points);
  } else {
    for (const std::string& label : remark.where) where += (where.empty() ? "" : "; ") + label;
  }
  return remark.name.empty() ? where : remark.name + ": " + where;
}

std::string_view kind_word(Note::Kind kind) {
  switch (kind) {
    case Note::Kind::validity:
      return "outside a law's range";
    case Note::Kind::limit:
      return "limit";
    case Note::Kind::state:
      return "state";
    case Note::Kind::caution:
      return "caution";
  }
  return "note";
}

bool loud(Note::Kind kind) { return kind == Note::Kind::limit || kind == Note::Kind::caution; }

std::string missing_answers(const Told& told, const PredictedPoint& point) {
  const std::string label = (told.name.empty() ? "" : told.name + ": ") + duty_label(point.duty);
  if (!point.typical.summary.usable) {
    return fmt::format("no answer ({}): {}.", label, point.typical.summary.why);
  }
  if (point.without_answer == 0) return {};
  return fmt::format("{} of {} samples have no answer ({}): {}. The intervals hold for the rest.",
                     point.without_answer, point.samples + point.without_answer, label,
                     point.why_without);
}

}  // namespace

std::string cautions(const std::vector<Told>& all) {
  std::vector<Remark> remarks = remarks_of(all);
  for (Remark& remark : chances(all)) remarks.push_back(std::move(remark));
  std::string out;
  for (const Remark& remark : remarks) {
    if (!loud(remark.kind)) continue;
    out += paragraph("CAUTION  ", fmt::format("{} ({}).", remark.text, where_words(remark)));
  }
  return out.empty() ? out : '\n' + out;
}

std::string notes(const std::vector<Told>& all) {
  std::string out;
  for (const Told& told : all) {
    for (const PredictedPoint& point : told.prediction.points) {
      const std::string missing = missing_answers(told, point);
      if (!missing.empty()) out += paragraph("  - ", missing);
    }
  }
  for (const Remark& remark : remarks_of(all)) {
    if (loud(remark.kind)) continue;
    out += paragraph("  - ", fmt::format("{}: {} ({}).", kind_word(remark.kind), remark.text,
                                         where_words(remark)));
  }
  return out.empty() ? out : "\nNotes\n" + out;
}

}  // namespace libloop::report
