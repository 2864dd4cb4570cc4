// SPDX-License-Identifier: MIT
// The bench page, built into the program by CMake.
#pragma once

#include <string_view>

namespace evenfeed {

std::string_view bench_page_html();
std::string_view bench_page_style();
std::string_view bench_page_script();

}  // namespace evenfeed
