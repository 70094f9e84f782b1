#include "libloop/files/csv.hpp"

#include <csv.h>
#include <fmt/format.h>

#include <algorithm>
#include <exception>
#include <new>
#include <string_view>
#include <utility>

#include "libloop/base/text.hpp"

namespace libloop::files {
namespace {

// Hands the text to the library byte by byte: then a cell that ends has ended here, and its
// place is known.
class CsvReader {
 public:
  explicit CsvReader(const Source& source) : source_(source), text_(source.text()) {
    if (csv_init(&parser_, CSV_STRICT | CSV_STRICT_FINI) != 0) throw std::bad_alloc();
  }
  ~CsvReader() { csv_free(&parser_); }
  CsvReader(const CsvReader&) = delete;
  CsvReader& operator=(const CsvReader&) = delete;

  std::vector<CsvRow> read() {
    while (at_ < text_.size()) step();
    const int status = csv_fini(&parser_, on_cell, on_row, this);
    rethrow();
    if (status != 0) fail_library();
    return std::move(rows_);
  }

 private:
  void step() {
    const char c = text_[at_];
    if (c == '\r' && text_.substr(at_ + 1, 1) != "\n") fail_carriage_return();
    if (in_row_ || std::string_view(" \t\r\n#").find(c) == std::string_view::npos) {
      feed(c);
    } else {
      skip(c);
    }
  }

  [[noreturn]] void fail_carriage_return() const {
    Place place = source_.at(at_, 1);
    // What follows would be printed over what stands before.
    if (!place.text.empty()) place.text.resize(static_cast<std::size_t>(place.column - 1));
    throw InputError(Problem{Code::syntax, "a carriage return without a line feed",
                             "Save the file with line ends of one kind, LF or CR LF.",
                             std::move(place)});
  }

  // Between rows: blanks, empty lines, comments.
  void skip(char c) {
    at_ = c == '#' ? std::min(text_.find('\n', at_), text_.size()) : at_ + 1;
    start_ = at_;
  }

  void feed(char c) {
    in_row_ = true;
    const std::size_t taken = csv_parse(&parser_, &c, 1, on_cell, on_row, this);
    rethrow();
    if (taken != 1) fail_library();
    ++at_;
  }

  // ---- what the library calls; no exception may pass through it

  static void on_cell(void* text, std::size_t size, void* self) noexcept {
    auto* reader = static_cast<CsvReader*>(self);
    reader->guard([&] { reader->add({static_cast<const char*>(text), size}); });
  }

  static void on_row(int, void* self) noexcept {
    auto* reader = static_cast<CsvReader*>(self);
    reader->guard([&] { reader->end_row(); });
  }

  template <class Step>
  void guard(const Step& run) noexcept {
    try {
      if (!trouble_) run();
    } catch (...) {
      trouble_ = std::current_exception();
    }
  }

  void rethrow() {
    if (trouble_) std::rethrow_exception(std::exchange(trouble_, nullptr));
  }

  // ---- rows

  void add(std::string_view cell) {
    if (++cells_ > most_csv_cells) {
      fail(source_, Code::bounds, written(), "the file has too many cells",
           fmt::format("At most {} in one file.", most_csv_cells));
    }
    row_.push_back({std::string(cell), written()});
    start_ = at_ + 1;
  }

  void end_row() {
    if (rows_.size() == most_csv_rows) {
      fail(source_, Code::bounds, row_.front().span, "the file has too many rows",
           fmt::format("At most {} in one file.", most_csv_rows));
    }
    rows_.push_back(std::exchange(row_, {}));
    in_row_ = false;
  }

  // The cell that ends here, without blanks around it.
  Span written() const {
    const std::string_view all = text_.substr(start_, at_ - start_);
    const std::string_view cell = text::trim(all);
    if (cell.empty()) return {start_, 1};
    return {start_ + static_cast<std::size_t>(cell.data() - all.data()), cell.size()};
  }

  [[noreturn]] void fail_library() const {
    if (csv_error(&parser_) != CSV_EPARSE) throw std::bad_alloc();
    const Span cell = written();
    const std::string_view before = text_.substr(cell.offset, at_ - cell.offset);
    if (before.substr(0, 1) != "\"") {
      fail(source_, Code::syntax, {at_, 1}, "a quote within a cell that is not in quotes",
           "Put the whole cell in quotes, and write a quote within it twice.");
    }
    // Whatever follows an open quote is swallowed up to the next one, which may be far away.
    if (at_ == text_.size() || before.find('\n') != std::string_view::npos) {
      fail(source_, Code::syntax, {cell.offset, 1},
           "a quote opens here and does not close on this line", "Close the quote.");
    }
    fail(source_, Code::syntax, {at_, 1}, "the cell goes on after its closing quote",
         "Write a quote within a quoted cell twice.");
  }

  const Source& source_;
  std::string_view text_;
  mutable csv_parser parser_{};  // csv_error() does not change it, but asks for a pointer
  std::size_t at_ = 0;
  std::size_t start_ = 0;  // of the cell
  bool in_row_ = false;
  std::size_t cells_ = 0;
  CsvRow row_;
  std::vector<CsvRow> rows_;
  std::exception_ptr trouble_;
};

}  // namespace

std::vector<CsvRow> read_csv(const Source& source) { return CsvReader(source).read(); }

}  // namespace libloop::files
