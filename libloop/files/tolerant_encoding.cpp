#include "libloop/files/tolerant_encoding.hpp"

#include <iconv.h>

#include <array>
#include <cerrno>
#include <utility>

#include "libloop/base/error.hpp"
#include "libloop/base/text.hpp"

namespace libloop::files {
namespace {

constexpr std::string_view replacement = "\xEF\xBF\xBD";
constexpr std::size_t looked_at = 4096;  // bytes, for UTF-16 without a mark

const char* name_of(Encoding encoding) {
  switch (encoding) {
    case Encoding::utf16_le:
      return "UTF-16LE";
    case Encoding::utf16_be:
      return "UTF-16BE";
    default:
      return "WINDOWS-1252";
  }
}

bool is_control(char c) {
  return (static_cast<unsigned char>(c) < 0x20 && c != '\t' && c != '\n' && c != '\r') || c == 0x7F;
}

void append_clean(std::string_view utf8, std::string& out) {
  for (const char c : utf8) {
    if (is_control(c)) {
      out += replacement;
    } else {
      out += c;
    }
  }
}

// Text of Latin letters has a zero in every second byte of UTF-16.
std::optional<Encoding> unmarked_utf16(std::string_view head) {
  head = head.substr(0, looked_at);
  std::array<std::size_t, 2> zeros{};
  for (std::size_t i = 0; i + 1 < head.size(); i += 2) {
    zeros[0] += head[i] == '\0' ? 1 : 0;
    zeros[1] += head[i + 1] == '\0' ? 1 : 0;
  }
  const std::size_t pairs = head.size() / 2;
  if (pairs < 4) return std::nullopt;
  if (zeros[1] * 10 > pairs * 7 && zeros[0] * 20 < pairs) return Encoding::utf16_le;
  if (zeros[0] * 10 > pairs * 7 && zeros[1] * 20 < pairs) return Encoding::utf16_be;
  return std::nullopt;
}

// Whether all is UTF-8, but for control characters and a character that `head` cuts in two.
bool is_utf8(std::string_view head, bool whole) {
  while (const std::optional<std::size_t> bad = text::first_bad_byte(head)) {
    if (!is_control(head[*bad])) return !whole && head.size() - *bad < 4;
    head.remove_prefix(*bad + 1);
  }
  return true;
}

// Bytes of a character that begins with `lead`; 1 for what begins none.
std::size_t character_size(char lead) {
  const auto byte = static_cast<unsigned char>(lead);
  if (byte >= 0xF0 && byte < 0xF5) return 4;
  if (byte >= 0xE0 && byte < 0xF0) return 3;
  return byte >= 0xC2 && byte < 0xE0 ? 2 : 1;
}

// Whether `text` may be the start of a character whose rest is still to come.
bool is_cut(std::string_view text) {
  if (text.size() >= character_size(text[0])) return false;
  for (const char c : text.substr(1)) {
    if ((static_cast<unsigned char>(c) & 0xC0) != 0x80) return false;
  }
  return true;
}

}  // namespace

// The system's converter.
class Decoder::Converter {
 public:
  explicit Converter(const char* from) : handle_(iconv_open("UTF-8", from)) {
    if (handle_ == reinterpret_cast<iconv_t>(-1)) {
      refuse(Code::file, std::string("this system has no converter from ") + from,
             "Save the file as UTF-8 text.");
    }
  }
  ~Converter() { iconv_close(handle_); }
  Converter(const Converter&) = delete;
  Converter& operator=(const Converter&) = delete;

  // Appends what can be converted; what is left is the start of a character.
  std::string_view convert(std::string_view bytes, std::string& out) {
    std::array<char, 8192> buffer;
    while (!bytes.empty()) {
      char* from = const_cast<char*>(bytes.data());  // iconv does not write to it
      std::size_t left = bytes.size(), room = buffer.size();
      char* to = buffer.data();
      const std::size_t status = iconv(handle_, &from, &left, &to, &room);
      const int error = status == static_cast<std::size_t>(-1) ? errno : 0;
      append_clean({buffer.data(), buffer.size() - room}, out);
      bytes.remove_prefix(bytes.size() - left);
      if (error == 0) break;
      if (error == EINVAL) return bytes;
      if (error == E2BIG) continue;
      out += replacement;
      bytes.remove_prefix(std::min(bytes.size(), unit_));
    }
    return {};
  }
  void skip_by(std::size_t unit) { unit_ = unit; }

 private:
  iconv_t handle_;
  std::size_t unit_ = 1;
};

FoundEncoding find_encoding(std::string_view head, std::optional<Encoding> chosen, bool whole) {
  const auto starts = [&](std::string_view mark) { return head.substr(0, mark.size()) == mark; };
  if (starts("\xEF\xBB\xBF") && chosen.value_or(Encoding::utf8) == Encoding::utf8) {
    return {Encoding::utf8, 3, {}};
  }
  if (starts("\xFF\xFE") && chosen.value_or(Encoding::utf16_le) == Encoding::utf16_le) {
    return {Encoding::utf16_le, 2, "The text is UTF-16 (little endian), by its mark."};
  }
  if (starts("\xFE\xFF") && chosen.value_or(Encoding::utf16_be) == Encoding::utf16_be) {
    return {Encoding::utf16_be, 2, "The text is UTF-16 (big endian), by its mark."};
  }
  if (chosen) return {*chosen, 0, {}};
  if (const std::optional<Encoding> wide = unmarked_utf16(head)) {
    return {*wide, 0, "The text has no mark; zero bytes show UTF-16."};
  }
  if (is_utf8(head, whole)) return {};
  return {Encoding::windows_1252, 0, "The bytes are no UTF-8; they are read as Windows-1252."};
}

Decoder::Decoder(Encoding encoding) : encoding_(encoding) {}
Decoder::~Decoder() = default;
Decoder::Decoder(Decoder&&) noexcept = default;
Decoder& Decoder::operator=(Decoder&&) noexcept = default;

void Decoder::decode_other(std::string_view bytes, bool last, std::string& out) {
  if (!converter_) {
    converter_ = std::make_unique<Converter>(name_of(encoding_));
    const bool wide = encoding_ == Encoding::utf16_le || encoding_ == Encoding::utf16_be;
    converter_->skip_by(wide ? 2 : 1);
  }
  waiting_ += bytes;
  const std::string rest(converter_->convert(waiting_, out));
  waiting_ = rest;
  if (last && !waiting_.empty()) out += replacement;
}

void Decoder::decode_utf8(std::string_view bytes, bool last, std::string& out) {
  std::string joined;
  if (!waiting_.empty()) {
    joined = std::exchange(waiting_, {});
    joined += bytes;
    bytes = joined;
  }
  while (const std::optional<std::size_t> bad = text::first_bad_byte(bytes)) {
    out += bytes.substr(0, *bad);
    bytes.remove_prefix(*bad);
    if (is_control(bytes[0])) {
      out += replacement;
    } else if (!last && is_cut(bytes)) {
      waiting_ = bytes;
      return;
    } else {
      ++stray_;
      if (!converter_) converter_ = std::make_unique<Converter>("WINDOWS-1252");
      converter_->convert(bytes.substr(0, 1), out);
    }
    bytes.remove_prefix(1);
  }
  out += bytes;
}

void Decoder::decode(std::string_view bytes, std::string& out) {
  if (encoding_ == Encoding::utf8) {
    decode_utf8(bytes, false, out);
  } else {
    decode_other(bytes, false, out);
  }
}

void Decoder::finish(std::string& out) {
  if (encoding_ == Encoding::utf8) {
    decode_utf8({}, true, out);
  } else {
    decode_other({}, true, out);
  }
  waiting_.clear();
}

}  // namespace libloop::files
