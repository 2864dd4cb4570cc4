# SPDX-License-Identifier: MIT
# Two trials over each other, from invented films to the picture: of one film,
# and of two whose cameras stood apart.
#   cmake -DPROGRAM= -DTWO_FILMS= -DWORK= -P overlay.cmake
cmake_minimum_required(VERSION 3.25)
file(REMOVE_RECURSE ${WORK})
file(MAKE_DIRECTORY ${WORK})
include(${CMAKE_CURRENT_LIST_DIR}/require.cmake)

# Runs the program; its exit code must be `expected`. Leaves `out` and `err`.
macro(run expected)
  execute_process(COMMAND ${PROGRAM} ${ARGN} WORKING_DIRECTORY ${WORK}
    RESULT_VARIABLE exit OUTPUT_VARIABLE out ERROR_VARIABLE err)
  if(NOT exit STREQUAL "${expected}")
    message(FATAL_ERROR "${ARGN}\nexit ${exit}, expected ${expected}\n${out}${err}")
  endif()
endmacro()

# Half a frame at 60 a second.
function(require_half_a_frame json)
  string(JSON apart_s GET "${json}" pairs 0 most_off_s)
  if(apart_s GREATER 0.0084)
    message(FATAL_ERROR "the two are ${apart_s} s apart:\n${json}")
  endif()
endfunction()

function(require_pictures folder)
  foreach(made pair-001-002.mp4 pair-001-002.png)
    if(NOT EXISTS ${WORK}/${folder}/${made})
      message(FATAL_ERROR "${folder} has no ${made}")
    endif()
  endforeach()
endfunction()

foreach(sample K M)
  file(CREATE_LINK ${TWO_FILMS}/film-${sample} ${WORK}/film-${sample} SYMBOLIC)
  run(0 session film-${sample}/session.mp4 --bench film-${sample}/truth_bench.toml
    --pictures none --out ${sample} --quiet)
endforeach()

set(films film-K/session.mp4 film-M/session.mp4)
run(0 overlay film-K/session.mp4 film-K/session.mp4 --from K K --pairs 1+2 --names K,M
  --out ghosts --slow 2 --json)
require_half_a_frame("${out}")
require_pictures(ghosts)
run(0 overlay ${films} --from K M --pairs 1+2 --names K,M --as stacked --out stacked --json)
require_half_a_frame("${out}")
require_pictures(stacked)
run(0 overlay ${films} --from K M --pairs 1+2 --names K,M --out drawn)
require("${out}" "The cameras stood apart" "the flight of M is drawn into the film of K")
require_pictures(drawn)

run(1 overlay film-M/session.mp4 film-M/session.mp4 --from K M --pairs 1+2 --out none)
require("${err}" "film-M/session.mp4: this is not the film of K")
run(1 overlay ${films} --from K M --pairs 1+9 --out none)
require("${err}" "--pairs: feed 9: there is no such feed")
if(EXISTS ${WORK}/none/pair-001-002.mp4 OR EXISTS ${WORK}/none/pair-001-009.mp4)
  message(FATAL_ERROR "a film of a pair that was refused")
endif()
file(REMOVE_RECURSE ${WORK})
