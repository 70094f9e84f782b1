#include "libloop/report/sections.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "libloop/base/text.hpp"
#include "libloop/quantity/unit.hpp"
#include "libloop/report/table.hpp"
#include "libloop/report/words.hpp"

namespace libloop::report {
namespace {

using Align = TextTable::Align;

constexpr std::size_t most_budgets = 4;  // beside each other on a page
constexpr std::size_t most_matters = 8;
constexpr double least_rise = 0.5;     // K, of which shares mean something
constexpr double least_effect = 0.05;  // K, that would round to nothing

// ---- notes, each with the points it belongs to

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
    case Note::Kind::validity: return "outside a law's range";
    case Note::Kind::limit: return "limit";
    case Note::Kind::state: return "state";
    case Note::Kind::caution: return "caution";
  }
  return "note";
}

bool loud(Note::Kind kind) { return kind == Note::Kind::limit || kind == Note::Kind::caution; }

std::string missing_answers(const Told& told, const PredictedPoint& point) {
  const std::string label =
      (told.name.empty() ? "" : told.name + ": ") + duty_label(point.duty);
  if (!point.typical.summary.usable) {
    return fmt::format("no answer ({}): {}.", label, point.typical.summary.why);
  }
  if (point.without_answer == 0) return {};
  return fmt::format("{} of {} samples have no answer ({}): {}. The intervals hold for the rest.",
                     point.without_answer, point.samples + point.without_answer, label,
                     point.why_without);
}

// ---- points

std::string percent(double share) { return text::number(100.0 * share, 3); }

// Whether any point of the table differs in it from full speed.
bool pump_varies(const Prediction& prediction) {
  return std::any_of(prediction.points.begin(), prediction.points.end(),
                     [](const PredictedPoint& p) { return p.duty.pump != 1.0; });
}

std::vector<std::string> duty_cells(const Told& told, const PredictedPoint& point, bool pump) {
  const std::optional<double> rpm = fan_rpm(told.model, point.duty);
  std::vector<std::string> cells = {text::number(point.duty.load), percent(point.duty.fan),
                                    rpm ? fmt::format("{:.0f}", *rpm) : "mixed"};
  if (pump) cells.push_back(percent(point.duty.pump));
  return cells;
}

std::vector<std::string> median_cells(const Told& told, const PredictedPoint& point, bool pump) {
  std::vector<std::string> cells = duty_cells(told, point, pump);
  for (const AnswerRow& row : answer_rows) {
    const bool usable = point.typical.summary.usable;
    cells.push_back(usable ? median(in_unit(point.answer, row)) : "none");
    if (row.answer == Answer::air_flow) {
      cells.push_back(usable ? percent(std::round(100.0 * point.typical.air_share) / 100.0) : "");
    }
  }
  return cells;
}

std::vector<std::string> range_cells(const PredictedPoint& point, bool pump) {
  std::vector<std::string> cells(pump ? 4 : 3);
  for (const AnswerRow& row : answer_rows) {
    cells.push_back(range_words(in_unit(point.answer, row)));
    if (row.answer == Answer::air_flow) cells.emplace_back();
  }
  return cells;
}

// ---- what matters

std::string range_of(const Matter& matter) {
  return fmt::format("{} ({} to {})", show(matter.range.typical, matter.row->unit),
                     text::number(to_unit(matter.range.low, matter.row->unit)),
                     text::number(to_unit(matter.range.high, matter.row->unit)));
}

std::string gradient_words(const PredictedPoint& point) {
  const double width = point.gradient_p95 - point.gradient_p05;
  return fmt::format(
      "Exact slopes alone give a rise of {} to {} K; its ends lie at most {} K from those of the "
      "samples.",
      rounded(point.gradient_p05, width), rounded(point.gradient_p95, width),
      text::number(point.interval_gap, 2));
}

}  // namespace

std::string cautions(const std::vector<Told>& all) {
  std::string out;
  for (const Remark& remark : remarks_of(all)) {
    if (!loud(remark.kind)) continue;
    out += paragraph("CAUTION  ", fmt::format("{} ({}).", remark.text, where_words(remark)));
  }
  return out.empty() ? out : '\n' + out;
}

std::string basis(const std::vector<Told>& all) {
  const Told& first = all.front();
  const PredictedPoint& point = first.prediction.points.front();
  std::string out = "\n";
  for (const Told& told : all) {
    const std::string_view head = &told == &first ? "  cooler   " : "  against  ";
    out += paragraph(head, title_of(told.model.cooler()));
  }
  out += paragraph("  bench    ", title_of(first.model.bench()));
  out += paragraph("  air      ", fmt::format("{} at the intake, {} above the sea",
                                             show(point.duty.ambient, "C"),
                                             show(point.duty.altitude, "m")));
  const auto& quantities = first.model.quantities();
  const auto uncertain = std::count_if(quantities.begin(), quantities.end(),
                                       [](const Quantity& q) { return !q.range.exact(); });
  const int samples = point.samples + point.without_answer;
  out += paragraph("  doubt    ",
                   samples == 0 ? "typical values only, no samples"
                                : fmt::format("{} samples of {} uncertain quantities", samples,
                                              uncertain));
  return out;
}

std::string points(const Told& told) {
  const bool pump = pump_varies(told.prediction);
  const bool sampled = !without_samples(told.prediction);
  TextTable table;
  table.column("load", "W");
  table.column("fans", "%");
  table.column("", "rpm");
  if (pump) table.column("pump", "%");
  for (const AnswerRow& row : answer_rows) {
    table.column(stacked(row.name), row.unit);
    if (row.answer == Answer::air_flow) table.column("of free\nflow", "%");
  }
  for (const PredictedPoint& point : told.prediction.points) {
    table.row(median_cells(told, point, pump));
    if (sampled && point.typical.summary.usable) table.row(range_cells(point, pump));
  }
  std::string head = told.name.empty() ? "Points" : "Points of " + told.name;
  if (sampled) head += ": median, and below it 5 to 95 %";
  return '\n' + paragraph("", head) + table.text();
}

std::string budget(const Told& told) {
  const std::vector<PredictedPoint>& all = told.prediction.points;
  const std::size_t shown = std::min(all.size(), most_budgets);
  TextTable table;
  table.column("", "", Align::left);
  for (std::size_t i = 0; i < shown; ++i) {
    const Duty& duty = all[i].duty;
    table.column(fmt::format("{} W\n{} %", text::number(duty.load), percent(duty.fan)), "K");
    table.column("share", "%");
  }
  for (std::size_t k = 0; k < budget_rows.size(); ++k) {
    std::vector<std::string> cells = {std::string(budget_rows[k].name)};
    bool any = false;
    for (std::size_t i = 0; i < shown; ++i) {
      const OperatingPoint& point = all[i].typical;
      const double rise = point[Answer::rise];
      any = any || (point.summary.usable && point.budget[k] != 0.0);
      cells.push_back(point.summary.usable ? kelvins(point.budget[k]) : "none");
      const bool share = point.summary.usable && std::abs(rise) > least_rise;
      cells.push_back(share ? rounded(100.0 * point.budget[k] / rise, 100.0) : "");
    }
    if (any) table.row(std::move(cells));
  }
  std::vector<std::string> sum = {"rise"};
  for (std::size_t i = 0; i < shown; ++i) {
    const OperatingPoint& point = all[i].typical;
    sum.push_back(point.summary.usable ? kelvins(point[Answer::rise]) : "none");
    const bool share = point.summary.usable && std::abs(point[Answer::rise]) > least_rise;
    sum.push_back(share ? "100" : "");
  }
  table.row(std::move(sum));
  std::string out = "\nWhere the kelvins go, all quantities at their typical values\n" +
                    table.text();
  if (shown < all.size()) {
    out += fmt::format("  The first {} of {} points; --json has them all.\n", shown, all.size());
  }
  return out;
}

std::string matters(const Told& told) {
  std::vector<Matter> some;
  for (const Matter& matter : told.prediction.matters) {
    if (std::abs(matter.effect) >= least_effect && some.size() < most_matters) {
      some.push_back(matter);
    }
  }
  if (some.empty()) return {};
  const PredictedPoint& point = told.prediction.points.front();
  TextTable table;
  table.column("quantity", "", Align::left);
  table.column("effect", "K");
  table.column("", "", Align::left);
  table.column("typical (5 to 95 %)", "", Align::left);
  for (const Matter& matter : some) {
    table.row({matter.quantity, fmt::format("{:+.1f}", matter.effect),
               matter.given ? "given" : "assumed", range_of(matter)});
  }
  std::string out = "\n" + paragraph("", "What matters most for the rise at " +
                                             duty_words(told.model, point.duty)) +
                    table.text();
  out += paragraph("  ", "Effect: how far the doubt about this quantity alone moves the rise to "
                         "either side; minus: more of it, less rise. To state an assumed one "
                         "narrows the answer.");
  if (point.samples > 0) out += paragraph("  ", gradient_words(point));
  return out;
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

std::string before_you_run() {
  return "\nBefore you run it\n"
         "  - Unplug the machine before you touch fittings or hoses; leak-test outside it first.\n"
         "  - Plate, hoses and radiator get hot under load; let them cool before you touch them.\n"
         "  - Glycol is harmful if swallowed: keep it from children and pets, mop up every spill.\n"
         "  - The chip's limit, the makers' instructions and local codes count, not this text.\n";
}

}  // namespace libloop::report
