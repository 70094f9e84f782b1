#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <optional>
#include <utility>

#include "libloop/base/text.hpp"
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

// A note with the points it belongs to, and the parts of a network that its text does not name.
struct Remark {
  std::string name, text;
  Note::Kind kind = Note::Kind::validity;
  std::vector<std::string> where, parts;
  std::size_t points = 0;  // of its cooler
};

void add_once(std::vector<std::string>& words, const std::string& word) {
  if (std::find(words.begin(), words.end(), word) == words.end()) words.push_back(word);
}

Remark& remark_on(std::vector<Remark>& remarks, const Told& told, const Note& note) {
  for (Remark& known : remarks) {
    if (known.name == told.name && known.text == note.text) return known;
  }
  remarks.push_back({told.name, note.text, note.kind, {}, {}, told.prediction.points.size()});
  return remarks.back();
}

// Parts that a network tells apart; a sealed loop has one of each that notes speak of.
bool in_network(const Cooler& cooler, const std::string& part) {
  if (cooler.network.empty()) return false;
  const std::vector<const Sheet*> sheets = cooler.sheets();
  const bool numbered_or_named = part.find('.') != std::string::npos;
  return numbered_or_named || std::any_of(sheets.begin(), sheets.end(), [&](const Sheet* sheet) {
           return sheet->path() == part;
         });
}

bool part_of_name(char c) {
  return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_' || c == '.';
}

// Whether the text has it as a word, not within a longer name.
bool has_word(const std::string& text, const std::string& part) {
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
    const std::size_t end = at + part.size();
    const bool before = at > 0 && part_of_name(text[at - 1]);
    const bool behind = end < text.size() && part_of_name(text[end]);
    if (!before && !behind) return true;
  }
  return false;
}

// Whether the text names the part already: "cold_plate", or in prose "cold plate".
bool names(const std::string& text, const std::string& part) {
  std::string prose = part;
  std::replace(prose.begin(), prose.end(), '_', ' ');
  return has_word(text, part) || has_word(text, prose);
}

std::vector<Remark> remarks_of(const std::vector<Told>& all) {
  std::vector<Remark> remarks;
  for (const Told& told : all) {
    const Cooler& cooler = told.model.cooler();
    for (const PredictedPoint& point : told.prediction.points) {
      for (const Note& note : point.typical.notes) {
        Remark& remark = remark_on(remarks, told, note);
        add_once(remark.where, note.when.empty()
                                   ? duty_label(point.duty)
                                   : note.when + "; " + duty_label(point.duty) + " in the end");
        if (in_network(cooler, note.part) && !names(note.text, note.part)) {
          add_once(remark.parts, note.part);
        }
      }
    }
  }
  return remarks;
}

// "fan.rear: air blows back through a fan"
std::string text_of(const Remark& remark) {
  constexpr std::size_t most = 3;
  if (remark.parts.empty()) return remark.text;
  if (remark.parts.size() > most) {
    return fmt::format("{} and {} more: {}", remark.parts.front(), remark.parts.size() - 1,
                       remark.text);
  }
  return text::list(remark.parts) + ": " + remark.text;
}

// The chip that is nearest to its limit at typical values.
std::size_t nearest_to_limit(const std::vector<ChipPoint>& chips) {
  const auto nearest =
      std::min_element(chips.begin(), chips.end(), [](const ChipPoint& a, const ChipPoint& b) {
        return a.limit - a.temperature < b.limit - b.temperature;
      });
  return static_cast<std::size_t>(nearest - chips.begin());
}

// Points of one cooler that keep below every limit at typical values but not for all
// samples, and at which this chip comes nearest to its own.
std::optional<Remark> chance(const Told& told, std::size_t chip) {
  constexpr double least = 0.05;
  Remark remark{told.name, "", Note::Kind::caution, {}, {}, told.prediction.points.size()};
  double low = 1.0, high = 0.0;
  const ChipPoint* which = nullptr;
  bool alone = true;
  for (const PredictedPoint& point : told.prediction.points) {
    const OperatingPoint& typical = point.typical;
    const bool below = typical.summary.usable && typical.margin >= 0.0;
    if (!below || point.above_limit < least || nearest_to_limit(typical.chips) != chip) continue;
    which = &typical.chips[chip];
    alone = typical.chips.size() == 1;
    remark.where.push_back(duty_label(point.duty));
    low = std::min(low, point.above_limit);
    high = std::max(high, point.above_limit);
  }
  if (which == nullptr) return std::nullopt;
  const std::string limit = show(which->limit, "C");
  remark.text = fmt::format(
      "may pass {}: {} of the samples do; do not run {} unattended",
      alone ? "the chip's limit of " + limit
            : fmt::format("a chip's limit (the nearest is that of {}, {})", which->name, limit),
      share_words(low, high), remark.where.size() == 1 ? "this point" : "these points");
  return remark;
}

std::vector<Remark> chances(const std::vector<Told>& all) {
  std::vector<Remark> remarks;
  for (const Told& told : all) {
    const std::size_t chips = told.prediction.points.front().typical.chips.size();
    for (std::size_t chip = 0; chip < chips; ++chip) {
      if (std::optional<Remark> remark = chance(told, chip)) remarks.push_back(*std::move(remark));
    }
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
    out += paragraph("CAUTION  ", fmt::format("{} ({}).", text_of(remark), where_words(remark)));
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
    out += paragraph("  - ", fmt::format("{}: {} ({}).", kind_word(remark.kind), text_of(remark),
                                         where_words(remark)));
  }
  return out.empty() ? out : "\nNotes\n" + out;
}

}  // namespace libloop::report
