// Bytes of a file, in pieces, to UTF-8 text.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "libloop/files/tolerant.hpp"

namespace libloop::files {

struct FoundEncoding {
  Encoding encoding = Encoding::utf8;
  std::size_t mark = 0;  // bytes of the byte order mark
  std::string decision;  // empty when there is nothing to say
};

// From the first bytes of a file. `whole`: there are no more.
FoundEncoding find_encoding(std::string_view head, std::optional<Encoding> chosen, bool whole);

// Turns pieces of bytes into UTF-8 without control characters: each becomes U+FFFD, as does what is
// no character. In a file of UTF-8, a stray byte is read as Windows-1252.
class Decoder {
 public:
  explicit Decoder(Encoding encoding);
  ~Decoder();
  Decoder(Decoder&&) noexcept;
  Decoder& operator=(Decoder&&) noexcept;

  // Appends to `out`; a character cut in two waits for its rest.
  void decode(std::string_view bytes, std::string& out);
  // No more bytes come.
  void finish(std::string& out);
  // Bytes that are no UTF-8 in a file of it.
  long long stray() const { return stray_; }

 private:
  class Converter;
  void decode_utf8(std::string_view bytes, bool last, std::string& out);
  void decode_other(std::string_view bytes, bool last, std::string& out);

  Encoding encoding_;
  std::string waiting_;  // the start of a character
  long long stray_ = 0;
  std::unique_ptr<Converter> converter_;
};

}  // namespace libloop::files
