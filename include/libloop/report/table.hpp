// Plain text for a page of 100 columns: aligned tables with units in their heads, and
// wrapped paragraphs.
//
// You need this header only to add a report; the reports themselves are in
// report/prediction.hpp, report/check.hpp and report/quantities.hpp.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace libloop::report {

inline constexpr std::size_t page_width = 100;

class TextTable {
 public:
  enum class Align { left, right };

  // `head` may have several lines; `unit` stands below it in brackets, or nothing.
  void column(std::string_view head, std::string_view unit = {}, Align align = Align::right);
  // Missing cells at the end are empty.
  void row(std::vector<std::string> cells);
  std::size_t width(std::size_t indent = 2) const;
  // Lines with their ends, without trailing blanks; every line is indented.
  std::string text(std::size_t indent = 2) const;

 private:
  struct Column {
    std::vector<std::string> head;
    Align align;
  };
  std::size_t column_width(std::size_t column) const;
  std::string line(const std::vector<std::string>& cells, std::size_t indent) const;
  std::vector<std::vector<std::string>> head() const;

  std::vector<Column> columns_;
  std::vector<std::vector<std::string>> rows_;
};

// One paragraph in lines of at most page_width: `first` opens the first line, blanks of the
// same width the others. Words are never cut.
std::string paragraph(std::string_view first, std::string_view text);

// One cell of a CSV file (RFC 4180): in quotes where it has to be.
std::string csv_cell(std::string_view text);
// A line of such cells.
std::string csv_line(const std::vector<std::string>& cells);

}  // namespace libloop::report
