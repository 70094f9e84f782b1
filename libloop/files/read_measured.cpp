#include "libloop/files/read_measured.hpp"

#include <fmt/format.h>

#include <map>
#include <set>
#include <utility>

#include "libloop/base/text.hpp"
#include "libloop/evidence/channel.hpp"
#include "libloop/files/bytes.hpp"
#include "libloop/files/measured_cells.hpp"
#include "libloop/files/measured_columns.hpp"
#include "libloop/files/measured_log.hpp"
#include "libloop/files/measured_reasons.hpp"

namespace libloop {
namespace {

using files::Column;
using files::FanReading;
using files::Reading;
using files::TableColumns;
using files::TolerantRow;
using files::TolerantTable;

constexpr double hottest_rise = 200.0;      // K; any chip has stopped by then
constexpr double largest_u = 50.0;          // K
constexpr std::size_t longest_title = 200;  // bytes

bool within(Channel channel, double value) {
  const DeclaredChannel& one = declared(channel);
  return value >= one.min && value <= one.max;
}

std::string stem(const std::string& path) {
  const std::size_t slash = path.find_last_of('/');
  const std::string name = slash == std::string::npos ? path : path.substr(slash + 1);
  const std::size_t dot = name.find_last_of('.');
  return dot == std::string::npos || dot == 0 ? name : name.substr(0, dot);
}

// One row of the table, or why it cannot be used.
class RowReader {
 public:
  RowReader(const TolerantTable& table, const TableColumns& columns, const files::Dates& dates,
            MeasuredTable& out)
      : table_(table), columns_(columns), dates_(dates), out_(out) {}

  // Empty when the row became a point.
  std::string read(const TolerantRow& row) {
    MeasuredPoint point;
    point.line = row.line;
    point.cooler = title(row);
    if (point.cooler.empty()) return "no cooler is named";
    read_price(row, point.cooler);
    for (const auto step : {&RowReader::read_load, &RowReader::read_fan, &RowReader::read_rise,
                            &RowReader::read_rest, &RowReader::read_held}) {
      std::string trouble = (this->*step)(row, point);
      if (!trouble.empty()) return trouble;
    }
    point.mount = mounts_.of(columns_.text(row, Column::mount));
    const std::string_view date = columns_.text(row, Column::date);
    if (!files::says_nothing(date)) {
      point.date = date;
      point.day = dates_.day(date);
    }
    out_.points.push_back(std::move(point));
    return {};
  }
  const std::string& last_title() const { return last_title_; }
  bool took_title_above() const { return took_title_above_; }
  const std::set<std::string>& prices_twice() const { return prices_twice_; }

 private:
  std::string title(const TolerantRow& row) {
    if (!columns_.has(Column::cooler)) return stem(table_.file);
    const std::string_view cell = files::trimmed(columns_.text(row, Column::cooler));
    if (!files::says_nothing(cell)) {
      last_title_ = text::cut(cell, longest_title);
    } else if (!last_title_.empty()) {
      took_title_above_ = true;
    }
    return last_title_;
  }

  std::string read_load(const TolerantRow& row, MeasuredPoint& point) {
    const Reading load = columns_.number(row, Column::load);
    if (!load.trouble.empty()) return load.trouble;
    if (!load.value || load.most) return "no load";
    if (!(*load.value > 0.0) || !within(Channel::load, *load.value)) {
      return fmt::format("a load of {} W is out of bounds", text::number(*load.value));
    }
    point.load = *load.value;
    return {};
  }

  std::string read_fan(const TolerantRow& row, MeasuredPoint& point) {
    const FanReading fan = columns_.fan(row);
    if (!fan.trouble.empty()) return fan.trouble;
    const bool fine = (!fan.share || within(Channel::fan_share, *fan.share)) &&
                      (!fan.speed || within(Channel::fan_speed, *fan.speed));
    if (!fine) return "the fan speed is out of bounds";
    point.fan_share = fan.share;
    point.fan_speed = fan.speed;
    return {};
  }

  std::string read_rise(const TolerantRow& row, MeasuredPoint& point) {
    const Reading ambient = columns_.number(row, Column::ambient);
    if (!ambient.trouble.empty()) return ambient.trouble;
    if (ambient.value && !within(Channel::ambient, *ambient.value)) {
      return "the ambient temperature is out of bounds";
    }
    point.ambient = ambient.value;
    const Reading rise = columns_.number(row, Column::rise);
    const Reading chip = columns_.number(row, Column::chip);
    if (!rise.trouble.empty()) return rise.trouble;
    // "The rise was more than that": the run ended before it stood still.
    if (rise.value ? rise.least : chip.least) point.held = false;
    if (rise.value) {
      point.rise = *rise.value;
    } else if (!chip.trouble.empty()) {
      return chip.trouble;
    } else if (chip.value && ambient.value) {
      point.rise = *chip.value - *ambient.value;
    } else {
      return "no rise, nor chip temperature with ambient";
    }
    if (point.rise > 0.0 && point.rise <= hottest_rise) return {};
    return fmt::format("a rise of {} K is out of bounds", text::number(point.rise));
  }

  std::string read_rest(const TolerantRow& row, MeasuredPoint& point) {
    const Reading level = columns_.number(row, Column::noise);
    if (!level.trouble.empty()) return level.trouble;
    if (level.value && !within(Channel::sound, *level.value)) return "the noise is out of bounds";
    point.level = level.value;
    point.level_bound = level.most;
    for (const auto& [column, factor] :
         {std::pair{Column::expanded_u, 0.5}, std::pair{Column::u, 1.0}}) {
      const Reading u = columns_.number(row, column);
      if (!u.trouble.empty()) return u.trouble;
      if (!u.value) continue;
      if (!(*u.value >= 0.0) || *u.value > largest_u) return "the uncertainty is out of bounds";
      point.u = factor * *u.value;
    }
    return {};
  }

  std::string read_held(const TolerantRow& row, MeasuredPoint& point) {
    const auto held = files::yes_or_no(columns_.text(row, Column::held), true);
    const auto throttled = files::yes_or_no(columns_.text(row, Column::throttled), false);
    if (!held || !throttled) return "held is neither yes nor no";
    point.held = point.held && *held && !*throttled;
    const auto settled = files::yes_or_no(columns_.text(row, Column::settled), true);
    if (!settled) return "settled is neither yes nor no";
    point.settled = *settled;
    return {};
  }

  void read_price(const TolerantRow& row, const std::string& cooler) {
    const std::string_view cell = columns_.text(row, Column::price);
    if (files::says_nothing(cell)) return;
    Price price =
        files::price_of(cell, columns_.find(Column::price)->heading, table_.dialect.decimal);
    price.cooler = cooler;
    const auto [known, fresh] = priced_.emplace(cooler, price.text);
    if (fresh) {
      out_.prices.push_back(std::move(price));
    } else if (known->second != price.text) {
      prices_twice_.insert(cooler);
    }
  }

  const TolerantTable& table_;
  const TableColumns& columns_;
  const files::Dates& dates_;
  MeasuredTable& out_;
  files::Mounts mounts_;
  std::string last_title_;
  bool took_title_above_ = false;
  std::map<std::string, std::string> priced_;  // text by cooler
  std::set<std::string> prices_twice_;
};

void check_columns(const TableColumns& columns) {
  if (!columns.has(Column::load)) columns.fail_missing("the load", "load [W]");
  const bool difference = columns.has(Column::chip) && columns.has(Column::ambient);
  if (!columns.has(Column::rise) && !difference) {
    columns.fail_missing("the rise over ambient, nor chip and ambient temperature", "rise [K]");
  }
}

void tell_decisions(const TableColumns& columns, const RowReader& reader, const std::string& file,
                    std::vector<std::string>& decisions) {
  if (!columns.has(Column::cooler)) {
    decisions.push_back(fmt::format("No column names coolers; all rows are of '{}'.", stem(file)));
  }
  if (reader.took_title_above()) {
    decisions.push_back("Where no cooler is named, the one above counts.");
  }
  if (columns.has(Column::rise) && columns.has(Column::chip)) {
    decisions.push_back("The rise is taken from its own column, not from the chip's temperature.");
  } else if (!columns.has(Column::rise)) {
    decisions.push_back("The rise is the chip's temperature less the ambient.");
  }
  if (columns.has(Column::expanded_u)) {
    decisions.push_back(fmt::format("'{}' is taken as twice the standard uncertainty.",
                                    files::shown_cell(columns.find(Column::expanded_u)->heading)));
  }
  const std::set<std::string>& twice = reader.prices_twice();
  if (!twice.empty()) {
    decisions.push_back(fmt::format(
        "{} has more than one price{}; the first counts.", files::shown_cell(*twice.begin()),
        twice.size() == 1 ? "" : fmt::format(", as {} others", twice.size() - 1)));
  }
}

}  // namespace

MeasuredTable parse_measured(std::string_view bytes, const std::string& file,
                             const ReadingChoice& choice) {
  const TolerantTable table = files::measured_rows(bytes, file, choice);
  MeasuredTable out;
  out.file = file;
  out.decisions = table.decisions;
  files::check_is_no_log(table);
  const TableColumns columns(table, out.decisions);
  check_columns(columns);
  const files::FoundColumn* dated = columns.find(Column::date);
  const files::Dates dates(table, dated ? std::optional(dated->index) : std::nullopt, choice.dates,
                           out.decisions);
  RowReader reader(table, columns, dates, out);
  files::Reasons reasons;
  for (const TolerantRow& row : table.rows) {
    const std::string trouble = reader.read(row);
    const bool named = columns.has(Column::cooler);
    if (!trouble.empty()) {
      reasons.add(trouble, row.line, named ? reader.last_title() : std::string());
    }
  }
  out.rows_read = static_cast<long long>(table.rows.size());
  out.left_out = reasons.told();
  tell_decisions(columns, reader, file, out.decisions);
  if (!out.points.empty()) return out;
  throw InputError(Problem{Code::missing, "no row can be used: " + out.left_out.front().reason,
                           "A row needs a cooler, a load and a rise.",
                           table.at(table.rows.front(), 0)});
}

MeasuredTable read_measured(const std::string& path, const ReadingChoice& choice) {
  return parse_measured(files::bytes_of(path, files::most_table_mebibytes), path, choice);
}

}  // namespace libloop
