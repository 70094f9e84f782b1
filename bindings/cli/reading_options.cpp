#include "bindings/cli/reading_options.hpp"

#include <fmt/format.h>

#include <cstdio>
#include <optional>
#include <utility>

#include "bindings/cli/terminal.hpp"
#include "libloop/base/text.hpp"

namespace libloop::cli {
namespace {

template <class Value>
using Choices = std::vector<std::pair<const char*, Value>>;

const Choices<char> decimals = {{"comma", ','}, {"point", '.'}};
const Choices<char> separators = {{"comma", ','}, {"semicolon", ';'}, {"tab", '\t'}};
const Choices<DateOrder> orders = {{"day-first", DateOrder::day_first},
                                   {"month-first", DateOrder::month_first},
                                   {"year-first", DateOrder::year_first}};
const Choices<Encoding> encodings = {{"utf-8", Encoding::utf8},
                                     {"utf-16-le", Encoding::utf16_le},
                                     {"utf-16-be", Encoding::utf16_be},
                                     {"windows-1252", Encoding::windows_1252}};

template <class Value>
std::vector<std::string> words_of(const Choices<Value>& choices) {
  std::vector<std::string> words;
  for (const auto& [word, value] : choices) words.emplace_back(word);
  return words;
}

[[noreturn]] void fail_choice(const std::string& option, const std::string& seen,
                              const std::vector<std::string>& words) {
  const std::string hint = text::did_you_mean(seen, words);
  fail_call(fmt::format("{} {}: no such choice", option, seen),
            hint.empty() ? fmt::format("Take {}.", text::list(words, "or")) : hint);
}

template <class Value>
std::optional<Value> chosen(const std::string& option, const std::string& seen,
                            const Choices<Value>& choices) {
  if (seen.empty()) return std::nullopt;
  for (const auto& [word, value] : choices) {
    if (seen == word) return value;
  }
  fail_choice(option, seen, words_of(choices));
}

std::vector<std::string> channel_words() {
  std::vector<std::string> words;
  for (const DeclaredChannel& channel : channels()) words.emplace_back(channel.name);
  return words;
}

Channel channel_of(const std::string& option, const std::string& word) {
  for (const DeclaredChannel& channel : channels()) {
    if (channel.name == word) return channel.channel;
  }
  std::vector<std::string> words = channel_words();
  if (option == "--column") words.emplace_back("time");
  fail_choice(option, word, words);
}

std::pair<std::string, std::string> halves(const std::string& option, const std::string& word,
                                           const char* example) {
  const std::size_t equals = word.find('=');
  std::pair<std::string, std::string> both;
  if (equals != std::string::npos) {
    both = {std::string(text::trim(word.substr(0, equals))),
            std::string(text::trim(word.substr(equals + 1)))};
  }
  if (!both.first.empty() && !both.second.empty()) return both;
  fail_call(fmt::format("{} {}: a channel, '=' and what it is are needed", option, word), example);
}

[[noreturn]] void fail_twice(const std::string& option, const std::string& channel) {
  fail_call(fmt::format("{}: {} is given twice", option, channel), "Give it once.");
}

}  // namespace

void add_reading_options(CLI::App& verb, ReadingOptions& options, bool log) {
  constexpr const char* group = "How files are read (left out: found out)";
  const auto add = [&](const char* name, std::string& value, const std::vector<std::string>& words,
                       const char* what) {
    verb.add_option(name, value, fmt::format("{}: {}", what, text::list(words, "or")))
        ->type_name("WORD")
        ->group(group);
  };
  add("--decimal", options.decimal, words_of(decimals), "Decimal mark");
  add("--separator", options.separator, words_of(separators), "What divides cells");
  add("--encoding", options.encoding, words_of(encodings), "Encoding");
  add("--dates", options.dates, words_of(orders), "Order of dates");
  if (!log) return;
  add_repeated(verb, "--column", options.columns,
               "The column of a channel, chip=\"Heading\" or chip=#3\n"
               "(repeatable): time, chip, ambient, load, preset, fan, fan_speed,\n"
               "pump, pump_speed, coolant, coolant_hot, coolant_cold, flow, sound")
      ->type_name("CHANNEL=HEADING")
      ->group(group);
  add_repeated(verb, "--unit", options.units, "The unit of a channel's column (repeatable)")
      ->type_name("CHANNEL=UNIT")
      ->group(group);
}

ReadingChoice reading_choice(const ReadingOptions& options) {
  ReadingChoice choice;
  choice.decimal = chosen("--decimal", options.decimal, decimals);
  choice.separator = chosen("--separator", options.separator, separators);
  choice.encoding = chosen("--encoding", options.encoding, encodings);
  choice.dates = chosen("--dates", options.dates, orders);
  return choice;
}

LogChoice log_choice(const ReadingOptions& options) {
  LogChoice choice;
  choice.reading = reading_choice(options);
  for (const std::string& word : options.columns) {
    const auto [name, heading] =
        halves("--column", word, "Write --column chip=\"CPU [C]\", or --column chip=#3.");
    if (name == "time") {
      if (!choice.time_column.empty()) fail_twice("--column", name);
      choice.time_column = heading;
    } else if (!choice.columns.emplace(channel_of("--column", name), heading).second) {
      fail_twice("--column", name);
    }
  }
  for (const std::string& word : options.units) {
    const auto [name, unit] =
        halves("--unit", word, "Write --unit chip=F, or --unit fan_speed=rpm.");
    if (!choice.units.emplace(channel_of("--unit", name), unit).second) fail_twice("--unit", name);
  }
  return choice;
}

Log read_watched(const std::string& path, const LogChoice& choice) {
  if (!watched()) return read_log(path, choice);
  int told = 0;
  const auto tell = [&](double share) {
    const int percent = static_cast<int>(100.0 * share);
    if (percent == told) return;
    told = percent;
    std::fprintf(stderr, "\rreading ... %d %%", percent);
    std::fflush(stderr);
  };
  const auto clear = [&] {
    if (told > 0) std::fprintf(stderr, "\r%*s\r", 20, "");
  };
  try {
    Log log = read_log(path, choice, tell);
    clear();
    return log;
  } catch (...) {
    clear();
    throw;
  }
}

}  // namespace libloop::cli
