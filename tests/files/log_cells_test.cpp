// Ugly logs: cells and numbers; all numbers are invented.
#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "files/ugly_logs.hpp"

namespace libloop::testing {
namespace {

const Channel chip = Channel::chip;
const Channel ambient = Channel::ambient;
const Channel load = Channel::load;

const std::vector<Ugly> written = {
    {"plain",
     "time [s],chip [C],load [W]\n0,40.5,100\n1,41,101\n",
     {0, 1},
     {{chip, {40.5, 41}}, {load, {100, 101}}},
     {},
     {"'chip [C]' is chip, in C."}},
    {"semicolons and a decimal comma, CR LF",
     "Zeit [s];Prozessor [°C];Leistung [W]\r\n0,0;40,5;100\r\n0,5;41,0;101\r\n",
     {0, 0.5},
     {{chip, {40.5, 41}}, {load, {100, 101}}},
     {},
     {"semicolons", "decimal comma"}},
    {"tabs, CR alone",
     "time (s)\tCPU temp (°C)\n0\t40.25\r1\t41.5\r",
     {0, 1},
     {{chip, {40.25, 41.5}}},
     {},
     {"tabs"}},
    {"quotes, commas, decimal commas in quotes",
     "\"time [s]\",\"chip, \"\"hot spot\"\" [C]\",\"load [W]\"\n\"0\",\"40,5\",\"99,5\"\n"
     "\"1\",\"41,25\",\"100,5\"\n",
     {0, 1},
     {{chip, {40.5, 41.25}}, {load, {99.5, 100.5}}},
     {},
     {"decimal comma"}},
    {"a byte order mark and thousands with a point",
     "\xEF\xBB\xBFtime [s];chip [C];fan [rpm]\n0;40,5;1.200\n1;40,6;1.210\n",
     {0, 1},
     {{chip, {40.5, 40.6}}, {Channel::fan_speed, {1200, 1210}}},
     {},
     {"decimal comma"}},
    {"thousands with commas in quotes",
     "time [s],chip [C],fan [rpm]\n0,40.5,\"1,200\"\n1,40.6,\"1,210\"\n",
     {0, 1},
     {{Channel::fan_speed, {1200, 1210}}},
     {},
     {}},
    {"thousands with blanks, narrow ones and apostrophes",
     "time [s];chip [C];fan [rpm]\n0;40,5;1 200\n1;40,6;1\xC2\xA0"
     "210\n2;40,7;1\xE2\x80\xAF"
     "220\n3;40,8;1'230\n",
     {0, 1, 2, 3},
     {{Channel::fan_speed, {1200, 1210, 1220, 1230}}},
     {},
     {}},
    {"a separator told in the first line",
     "sep=;\ntime [s];chip [C]\n0;40.5\n1;41.5\n",
     {0, 1},
     {{chip, {40.5, 41.5}}},
     {},
     {"semicolons"}},
    {"a separator at the end of each line",
     "time [s],chip [C],\n0,40,\n1,41,\n",
     {0, 1},
     {{chip, {40, 41}}},
     {},
     {}},
    {"units behind numbers, one in another unit",
     "time,chip,load\n0 s,40.5 C,100 W\n1 s,104 F,0.11 kW\n",
     {0, 1},
     {{chip, {40.5, 40}}, {load, {100, 110}}},
     {},
     {}},
    {"exponents and a true minus sign",
     "time [s],ambient [C],load [W]\n0,\xE2\x88\x92"
     "5,1e2\n1,-4.5,1.01E+02\n",
     {0, 1},
     {{ambient, {-5, -4.5}}, {load, {100, 101}}},
     {},
     {}},
    {"UTF-16 with a mark, little endian",
     std::string("\xFF\xFEt\0i\0m\0e\0,\0c\0h\0i\0p\0\n\0"
                 "0\0,\0"
                 "4\0"
                 "0\0\n\0"
                 "1\0,\0"
                 "4\0"
                 "1\0\n\0",
                 42),
     {0, 1},
     {{chip, {40, 41}}},
     {},
     {"UTF-16"}},
    {"Windows-1252",
     "Zeit [s];L\xFC"
     "fter [U/min];Chip [\xB0"
     "C]\n0;900;40\n1;910;41\n",
     {0, 1},
     {{chip, {40, 41}}, {Channel::fan_speed, {900, 910}}},
     {},
     {"Windows-1252"}},
    {"a degree sign lost on the way",
     "time [s],chip [\xEF\xBF\xBD"
     "C],room (?F)\n0,40,77\n",
     {0},
     {{chip, {40}}, {ambient, {25}}},
     {},
     {}},
    {"the decimal mark told",
     "time [s];chip [C]\n0;40,125\n1;40,250\n",
     {0, 1},
     {{chip, {40.125, 40.25}}},
     {},
     {},
     with_decimal(',')},
};

TEST_CASE("ugly logs: cells and numbers") {
  for (const Ugly& ugly : written) check(ugly);
}

}  // namespace
}  // namespace libloop::testing
