#include "libloop/files/read_profile.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <utility>

#include "libloop/base/text.hpp"
#include "libloop/files/bytes.hpp"
#include "libloop/files/csv.hpp"
#include "libloop/files/document.hpp"
#include "libloop/files/problems.hpp"
#include "libloop/files/profile_columns.hpp"
#include "libloop/files/source.hpp"

namespace libloop {
namespace {

using files::CsvCell;
using files::CsvRow;
using files::ProfileColumn;
using files::Source;
using files::Span;

constexpr std::size_t longest_shown = 40;  // of a cell in a message

// Text that a message can hold on one line.
std::string shown(std::string_view cell) {
  std::string out(text::cut(cell, longest_shown));
  std::replace_if(
      out.begin(), out.end(), [](char c) { return c == '\n' || c == '\r' || c == '\t'; }, ' ');
  return out;
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// nan and inf, however spelled.
bool names_no_number(std::string_view word) {
  std::string lower;
  for (const char c : word.substr(0, longest_shown)) {
    if (c == '+' || c == '-') continue;
    lower += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  }
  return lower == "nan" || lower == "inf" || lower == "infinity";
}

class ProfileReader {
 public:
  explicit ProfileReader(const Source& source) : source_(source) {}

  Profile read(const Model& model, std::vector<std::string>& notes) {
    const std::vector<CsvRow> rows = files::read_csv(source_);
    if (rows.empty()) fail_empty();
    refuse_other_separator(rows.front());
    columns_ = files::profile_columns(source_, rows.front(), model, problems_, notes);
    for (const ProfileColumn& column : columns_) {
      if (!column.known() || column.is_time()) continue;
      profile_.names.push_back(column.name);
      profile_.values.emplace_back();
    }
    if (rows.size() == 1) {
      tell(Code::missing, rows.front().front().span, "no row follows the header",
           "The first row is the start, at time 0.");
    }
    for (std::size_t i = 1; i < rows.size() && !files::full(problems_); ++i) add(rows[i], i == 1);
    if (problems_.empty()) return std::move(profile_);
    sort_by_place(problems_);
    throw InputError(std::move(problems_));
  }

 private:
  void tell(Code code, const Span& span, std::string message, std::string suggestion) {
    files::tell(
        {code, std::move(message), std::move(suggestion), source_.at(span.offset, span.length)},
        problems_);
  }

  [[noreturn]] void fail_empty() const {
    throw InputError(
        Problem{Code::missing,
                "the file is empty",
                "A profile holds a header, \"time [s],load [W]\", and a row at time 0.",
                {source_.file(), 0, 0, 1, {}}});
  }

  // Spreadsheets of some countries divide cells in another way.
  void refuse_other_separator(const CsvRow& header) const {
    const CsvCell& only = header.front();
    if (header.size() > 1) return;
    for (const auto& [mark, words] : {std::pair{';', "';'"}, std::pair{'\t', "tabs"}}) {
      const std::size_t found =
          source_.text().substr(only.span.offset, only.span.length).find(mark);
      if (found == std::string::npos) continue;
      fail(source_, Code::syntax, {only.span.offset + found, 1},
           fmt::format("cells are divided by {}", words),
           "Divide them by commas, and write numbers with a decimal point.");
    }
  }

  // ---- rows

  void add(const CsvRow& row, bool first) {
    if (row.size() != columns_.size()) return tell_ragged(row);
    std::size_t name = 0;
    for (std::size_t i = 0; i < row.size(); ++i) {
      const ProfileColumn& column = columns_[i];
      const std::optional<double> value = value_of(row[i], column);
      if (!column.known()) continue;
      if (column.is_time()) {
        if (value) add_time(row[i], column, *value, first);
      } else {
        // After a fault nobody sees the numbers.
        profile_.values[name++].push_back(value.value_or(0.0));
      }
    }
  }

  void tell_ragged(const CsvRow& row) {
    const bool more = row.size() > columns_.size();
    tell(Code::missing, more ? row[columns_.size()].span : row.back().span,
         fmt::format("this row has {} cells, the header {}", row.size(), columns_.size()),
         more ? "A comma divides cells: in numbers write a decimal point, as in 0.5."
              : "Every row has a cell for every column, divided by commas.");
  }

  void add_time(const CsvCell& cell, const ProfileColumn& column, double time, bool first) {
    std::vector<double>& times = profile_.times;
    if (first && time != 0.0) {
      tell(Code::order, cell.span, fmt::format("the first row stands at {}", column.show(time)),
           "The first row is the start, at time 0.");
    } else if (!times.empty() && time < times.back()) {
      tell(Code::order, cell.span,
           fmt::format("time falls: {} after {}", column.show(time), column.show(times.back())),
           "Order the rows by time.");
    } else if (times.size() > 1 && time == times.back() && time == times[times.size() - 2]) {
      tell(Code::duplicate, cell.span, fmt::format("a third row at {}", column.show(time)),
           "Two rows at one time are a step from the first to the second; take the others out.");
    }
    times.push_back(time);
  }

  // ---- cells

  // The SI value; nothing, once told, when it is at fault.
  std::optional<double> value_of(const CsvCell& cell, const ProfileColumn& column) {
    if (!column.known()) return std::nullopt;
    const std::string_view word = text::trim(cell.text);
    const std::optional<double> number = text::parse_number(word);
    if (!number) {
      tell_no_number(cell, word, column);
      return std::nullopt;
    }
    const double si = column.si(*number);
    // A time below 0 is told as one that does not begin at 0, or falls.
    if ((si >= column.min || column.is_time()) && si <= column.max) return si;
    tell(Code::bounds, cell.span,
         fmt::format("{} = {}{} is out of bounds", column.called, shown(word),
                     column.unit == "1" ? "" : " " + column.unit),
         fmt::format("It must lie between {} and {}.", column.show(column.min),
                     column.show(column.max)));
    return std::nullopt;
  }

  void tell_no_number(const CsvCell& cell, std::string_view word, const ProfileColumn& column) {
    const std::string& called = column.called;
    if (word.empty()) {
      tell(Code::missing, cell.span, fmt::format("{} is empty", called),
           "Every row has a value in every column; repeat the one above where nothing changes.");
      return;
    }
    if (names_no_number(word)) {
      tell(Code::kind, cell.span, fmt::format("{} cannot be {}", called, word), "Write a number.");
      return;
    }
    const std::size_t end = std::min(word.find_first_not_of("+-0123456789."), word.size());
    const std::string_view start = word.substr(0, end), rest = word.substr(end);
    if (rest.size() > 1 && rest[0] == ',' && is_digit(rest[1])) {
      tell(Code::kind, cell.span, fmt::format("'{}' has a comma in its number", shown(word)),
           fmt::format("Write a decimal point, {}.{}, and nothing between thousands.", start,
                       shown(rest.substr(1))));
      return;
    }
    if (text::parse_number(start)) {
      tell(Code::kind, cell.span, fmt::format("'{}' is no plain number", shown(word)),
           fmt::format("Write {} alone; the unit stands in the header.", start));
      return;
    }
    tell(Code::kind, cell.span,
         fmt::format("{}: '{}' cannot be read as a number", called, shown(word)),
         "Write a plain number; the unit stands in the header.");
  }

  const Source& source_;
  std::vector<Problem> problems_;
  std::vector<ProfileColumn> columns_;
  Profile profile_;
};

}  // namespace

Profile parse_profile(std::string_view text, const std::string& file, const Model& model,
                      std::vector<std::string>* notes) {
  const Source source(text, file, files::most_csv_mebibytes);
  std::vector<std::string> assumed;
  Profile profile = ProfileReader(source).read(model, assumed);
  if (notes != nullptr) notes->insert(notes->end(), assumed.begin(), assumed.end());
  return profile;
}

Profile read_profile(const std::string& path, const Model& model, std::vector<std::string>* notes) {
  return parse_profile(files::bytes_of(path, files::most_csv_mebibytes), path, model, notes);
}

}  // namespace libloop
