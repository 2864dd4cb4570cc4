// SPDX-License-Identifier: MIT
#include "report/html.h"

#include <limits>

#include <doctest/doctest.h>

namespace evenfeed {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

TEST_CASE("text from files cannot act in a page") {
  CHECK(escape_html("<script>alert('x')</script> & \"q\"") ==
        "&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt; &amp; &quot;q&quot;");
  CHECK(escape_html("sheet K") == "sheet K");
  CHECK(escape_html("±") == "±");
  CHECK(escape_html(std::string_view("a\0b", 3)) ==
        "a\xEF\xBF\xBD"
        "b");
}

TEST_CASE("bytes as text: the examples of RFC 4648, section 10") {
  CHECK(base64("").empty());
  CHECK(base64("f") == "Zg==");
  CHECK(base64("fo") == "Zm8=");
  CHECK(base64("foo") == "Zm9v");
  CHECK(base64("foob") == "Zm9vYg==");
  CHECK(base64("fooba") == "Zm9vYmE=");
  CHECK(base64("foobar") == "Zm9vYmFy");
  CHECK(base64("\xFF\xFE\xFD") == "//79");
}

TEST_CASE("JSON in a script element cannot end it") {
  CHECK(script_safe("{\"a\":\"</script><!--&\"}") ==
        "{\"a\":\"\\u003c/script\\u003e\\u003c!--\\u0026\"}");
}

TEST_CASE("values carry their uncertainty") {
  CHECK(with_uncertainty(652.14, 4.96, 1) == "652.1 ± 5.0");
  CHECK(with_uncertainty(652.14, kNan, 1) == "652.1");
  CHECK(with_uncertainty(kNan, 4.96, 1) == "–");
  CHECK(with_uncertainty(-0.01, kNan, 1) == "0.0");
  // An uncertainty is never shown as nothing.
  CHECK(with_uncertainty(1.2344, 0.004, 1) == "1.234 ± 0.004");
}

}  // namespace evenfeed
