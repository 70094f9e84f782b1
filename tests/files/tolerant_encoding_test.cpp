#include "libloop/files/tolerant_encoding.hpp"

#include <doctest/doctest.h>

#include <string>

namespace libloop::files {
namespace {

// U+00B0 and U+1F321, so that UTF-16 has a pair of surrogates.
const std::string text = "T [°C] \xF0\x9F\x8C\xA1\n1,5\n";
const std::string little(
    "T\0 \0[\0\xB0\0C\0]\0 \0\x3C\xD8\x21\xDF\n\0"
    "1\0,\0"
    "5\0\n\0",
    28);

std::string swapped(std::string bytes) {
  for (std::size_t i = 0; i + 1 < bytes.size(); i += 2) std::swap(bytes[i], bytes[i + 1]);
  return bytes;
}

std::string decoded(std::string_view bytes, Encoding encoding, std::size_t size) {
  Decoder decoder(encoding);
  std::string out;
  for (std::size_t at = 0; at < bytes.size(); at += size) {
    decoder.decode(bytes.substr(at, size), out);
  }
  decoder.finish(out);
  return out;
}

TEST_CASE("encodings, in pieces of any size") {
  for (const std::size_t size : {1u, 2u, 3u, 5u, 1000u}) {
    CAPTURE(size);
    CHECK(decoded(text, Encoding::utf8, size) == text);
    CHECK(decoded(little, Encoding::utf16_le, size) == text);
    CHECK(decoded(swapped(little), Encoding::utf16_be, size) == text);
    CHECK(decoded("T [\xB0"
                  "C] \x80",
                  Encoding::windows_1252, size) == "T [°C] €");
    // A stray byte in a file of UTF-8, and a zero.
    CHECK(decoded("°\xB0"
                  "C\xC3",
                  Encoding::utf8, size) == "°°CÃ");
    CHECK(decoded(std::string("a\0b", 3), Encoding::utf8, size) ==
          "a\xEF\xBF\xBD"
          "b");
    // Half a character, at the end and within.
    CHECK(decoded(std::string("a\0b", 3), Encoding::utf16_le, size) == "a\xEF\xBF\xBD");
    CHECK(decoded(std::string("a\0\x3C\xD8"
                              "b\0",
                              6),
                  Encoding::utf16_le, size)
              .back() == 'b');
  }
}

TEST_CASE("encodings are found out") {
  const auto found = [](const std::string& bytes) { return find_encoding(bytes, {}, true); };
  CHECK(found("plain").encoding == Encoding::utf8);
  CHECK(found("\xEF\xBB\xBF"
              "a")
            .mark == 3);
  CHECK(found("\xFF\xFE" + little).encoding == Encoding::utf16_le);
  CHECK(found("\xFE\xFF" + swapped(little)).encoding == Encoding::utf16_be);
  CHECK(found(little + little).encoding == Encoding::utf16_le);
  CHECK(found(swapped(little + little)).encoding == Encoding::utf16_be);
  CHECK(found("L\xFC"
              "fter")
            .encoding == Encoding::windows_1252);
  CHECK(found("L\xC3\xBC"
              "fter")
            .encoding == Encoding::utf8);
  CHECK(find_encoding("L\xC3", {}, false).encoding == Encoding::utf8);
  CHECK(find_encoding("L\xC3", {}, true).encoding == Encoding::windows_1252);
  CHECK(find_encoding("plain", Encoding::utf16_be, true).encoding == Encoding::utf16_be);
  CHECK(found("").encoding == Encoding::utf8);
}

TEST_CASE("stray bytes are counted") {
  Decoder decoder(Encoding::utf8);
  std::string out;
  decoder.decode(
      "a\xB0"
      "b\xB0",
      out);
  decoder.finish(out);
  CHECK(decoder.stray() == 2);
}

}  // namespace
}  // namespace libloop::files
