#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

#include "libloop/base/error.hpp"
#include "libloop/report/chart.hpp"
#include "libloop/report/chart_parts.hpp"
#include "libloop/report/gnuplot_run.hpp"
#include "libloop/report/gnuplot_script.hpp"

namespace libloop::report {
namespace {

constexpr std::string_view bold_font = "font-family=\"DejaVu Sans:Bold\"";
constexpr std::string_view usual_font = "font-family=\"DejaVu Sans\"";
// A viewer without the font takes a narrower one: what had room keeps it.
constexpr std::string_view families = "font-family=\"DejaVu Sans, Verdana, sans-serif\"";

void replace(std::string& text, std::string_view what, const std::string& by) {
  for (std::size_t at = text.find(what); at != std::string::npos;
       at = text.find(what, at + by.size())) {
    text.replace(at, what.size(), by);
  }
}

// What gnuplot's SVG lacks: fonts for other machines, and an escape in "]]>". Only tags are
// touched; a text cannot hold "<", so that the next "<" begins one.
std::string completed(const std::string& svg) {
  std::string out;
  for (std::size_t at = 0; at < svg.size();) {
    const std::size_t tag = std::min(svg.find('<', at), svg.size());
    std::string words = svg.substr(at, tag - at);
    replace(words, "]]>", "]]&gt;");
    const std::size_t end = std::min(svg.find('>', tag), svg.size() - 1) + 1;
    std::string mark = tag < svg.size() ? svg.substr(tag, end - tag) : "";
    replace(mark, bold_font, std::string(families) + " font-weight=\"bold\"");
    replace(mark, usual_font, std::string(families));
    out += words + mark;
    at = tag < svg.size() ? end : svg.size();
  }
  return out;
}

void require(bool whole) {
  if (whole) return;
  refuse(Code::file, "gnuplot wrote no whole picture",
         "Check its installation (apt-get install gnuplot-nox) and the space in /tmp.");
}

[[noreturn]] void fail(Code code, std::string message, std::string suggestion,
                       const std::string& file) {
  throw InputError(Problem{code, std::move(message), std::move(suggestion), {file, 0, 0, 1, {}}});
}

void write(const std::string& path, const std::string& bytes) {
  namespace fs = std::filesystem;
  std::error_code trouble;
  const bool folder = fs::is_directory(path, trouble);
  const std::string part = path + "." + std::to_string(getpid()) + ".part";
  std::ofstream stream;
  if (!folder) stream.open(part, std::ios::binary | std::ios::trunc);
  stream.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  stream.close();
  trouble.clear();
  if (stream) fs::rename(part, path, trouble);
  if (folder || !stream || trouble) {
    if (!folder) fs::remove(part, trouble);
    fail(Code::file, "the picture cannot be written", "Check the folder and your rights in it.",
         path);
  }
}

}  // namespace

std::string svg(const Chart& chart) {
  check(chart);
  const std::string out = run_gnuplot(gnuplot_script(chart, Format::svg));
  require(out.find("</svg>") != std::string::npos);
  return completed(out);
}

std::string png(const Chart& chart) {
  check(chart);
  const std::string out = run_gnuplot(gnuplot_script(chart, Format::png));
  require(out.rfind("\x89PNG", 0) == 0 && out.find("IEND", out.size() - 12) != std::string::npos);
  return out;
}

void draw(const Chart& chart, const std::string& path) {
  const std::string end = std::filesystem::path(path).extension().string();
  if (end != ".svg" && end != ".png") {
    fail(Code::call,
         end.empty() ? "the name of the picture has no ending"
                     : "pictures cannot be written as '" + end + "'",
         "Use a name that ends in .svg or .png.", path);
  }
  write(path, end == ".svg" ? svg(chart) : png(chart));
}

}  // namespace libloop::report
