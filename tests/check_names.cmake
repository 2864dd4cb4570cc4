# SPDX-License-Identifier: MIT
cmake_minimum_required(VERSION 3.25)
# No two headers give one name to two types: linked into one program that breaks
# the one-definition rule, and nothing else would tell.
#   cmake -DSOURCE=src -P check_names.cmake
file(GLOB_RECURSE headers ${SOURCE}/*.h)
set(seen 0)
set(broken "")
# Still to be renamed: calibration/table_choice.h, a struct, and quality's enum.
# No file includes both.
set(known Verdict)
foreach(header ${headers})
  file(STRINGS ${header} types REGEX "^(struct|class|enum class|enum) [A-Za-z0-9]+( final)? ?[:{]")
  foreach(type ${types})
    string(REGEX REPLACE "^(struct|class|enum class|enum) ([A-Za-z0-9]+).*" "\\2" name "${type}")
    math(EXPR seen "${seen} + 1")
    if(DEFINED first_${name} AND NOT name IN_LIST known)
      string(APPEND broken "${name}: ${first_${name}} and ${header}\n")
    endif()
    set(first_${name} ${header})
  endforeach()
endforeach()
if(seen LESS 300)
  message(FATAL_ERROR "only ${seen} types were seen: the script no longer reads the headers")
endif()
if(broken)
  message(FATAL_ERROR "one name for two types:\n${broken}")
endif()
message(STATUS "${seen} types, each with a name of its own")
