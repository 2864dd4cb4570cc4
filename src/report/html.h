// SPDX-License-Identifier: MIT
// Text from files on its way into a page: nothing a file says may act there.
#pragma once

#include <string>
#include <string_view>

namespace evenfeed {

/// For element content and quoted attributes: & < > " ' become entities;
/// control characters that HTML forbids become U+FFFD.
std::string escape_html(std::string_view text);

/// For JSON inside a <script> element: < > & become \u00XX, so that no string
/// in it can end the element or open a comment. The JSON means the same.
std::string script_safe(std::string_view json);

/// RFC 4648, section 4, padded.
std::string base64(std::string_view bytes);

/// "652.1 ± 5.0" with `decimals`; without a known sigma only the value; a dash
/// for a value that is not known.
std::string with_uncertainty(double value, double sigma, int decimals);

/// The start of a <div> that is scrolled where it is too large, by the keyboard
/// too. `label` says what is in it.
std::string scrolled_start(std::string_view label,
                           std::string_view style_class = "wide");

/// The same, then <table> and its caption. Both texts are escaped here.
std::string table_start(std::string_view label, std::string_view caption);

}  // namespace evenfeed
