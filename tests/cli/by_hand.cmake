# SPDX-License-Identifier: MIT
# A table marked by hand: from `calibrate --mark` over the page's own scripts,
# as a tester would use them, to the bench; and a still picture in a film's
# place.
#   cmake -DPROGRAM= -DNODE= -DWORK= -DSHORT_FILM= -DPAGE= -P by_hand.cmake
cmake_minimum_required(VERSION 3.25)
file(REMOVE_RECURSE ${WORK})
file(MAKE_DIRECTORY ${WORK}/bin)
file(CREATE_LINK ${PROGRAM} ${WORK}/bin/evenfeed SYMBOLIC)

# Runs a command; its exit code must be `expected`. Leaves `out` and `err`.
macro(run expected)
  execute_process(COMMAND ${ARGN} WORKING_DIRECTORY ${WORK}
    RESULT_VARIABLE exit OUTPUT_VARIABLE out ERROR_VARIABLE err)
  if(NOT exit STREQUAL "${expected}")
    message(FATAL_ERROR "${ARGN}\nexit ${exit}, expected ${expected}\n${out}${err}")
  endif()
endmacro()

include(${CMAKE_CURRENT_LIST_DIR}/require.cmake)

# The scene's camera, at 400, -1200, 2300 mm.
function(require_camera words)
  if(NOT words MATCHES "camera at +x ([0-9]+), y (-[0-9]+) mm, ([0-9]+) mm above")
    message(FATAL_ERROR "no camera in\n${words}")
  endif()
  foreach(pair "${CMAKE_MATCH_1},400" "${CMAKE_MATCH_2},-1200" "${CMAKE_MATCH_3},2300")
    string(REPLACE "," ";" pair ${pair})
    list(GET pair 0 found)
    list(GET pair 1 true)
    math(EXPR off "(${found} - ${true}) * (${found} - ${true})")
    if(off GREATER 400)
      message(FATAL_ERROR "${found} mm, the scene has ${true}:\n${words}")
    endif()
  endforeach()
endfunction()

file(CREATE_LINK ${SHORT_FILM}/film ${WORK}/film SYMBOLIC)
file(WRITE ${WORK}/camera.json "{\"focal\": 520, \"k1\": -0.05, \"eye\": [0.4, -1.2, 2.3],
  \"target\": [0.04, -0.06, 0], \"up\": [0, 1, 0], \"roll_deg\": 0.5}")

# The page is named, holds the command, and the command works as it stands.
run(0 ${PROGRAM} calibrate film/session.mp4 --mark --out "the bench.toml")
require("${out}" "the bench-mark.html: open it in a browser" "the bench-marks.csv")
string(REGEX MATCH "evenfeed calibrate [^\n]*" command "${out}")
file(READ "${WORK}/the bench-mark.html" page)
string(REPLACE "'" "&#39;" escaped "${command}")
require("${page}" "<pre id=\"command\">${escaped}</pre>")
run(0 ${NODE} ${PAGE} "the bench-mark.html" camera.json "the bench-marks.csv"
  corner_near_left corner_near_right corner_far_left corner_far_right net_foot_left
  net_foot_right net_top_right centre_far_left net_top_left,0,-15)
require("${out}" "9 points" "Farthest off: net top left, by 1")
run(0 ${CMAKE_COMMAND} -E env "PATH=${WORK}/bin:$ENV{PATH}" sh -c "${command}")
require_camera("${out}")
require("${out}" "its marks are left out" "net_top_left by 1")
if(NOT EXISTS "${WORK}/the bench.toml")
  message(FATAL_ERROR "no bench was written")
endif()

# The marks are of this film and no other.
run(0 ffmpeg -v error -nostdin -i film/session.mp4 -frames:v 1 still.png)
run(0 ffmpeg -v error -nostdin -i still.png -vf scale=320:240 small.png)
run(1 ${PROGRAM} calibrate small.png --points "the bench-marks.csv")
require("${err}" "marked on pictures of 640 x 480 px, the film has 320 x 240 px" "--mark")

# Only calibrate takes a picture.
foreach(command session measure live)
  string(REPLACE live "live;--rehearse" words ${command})
  run(1 ${PROGRAM} ${words} still.png --out pictured --bench film/truth_bench.toml)
  require("${err}" "still.png: this is a still picture")
  if(EXISTS ${WORK}/pictured)
    message(FATAL_ERROR "${command} of a picture wrote something")
  endif()
endforeach()
# A still picture: found when it is said where the launcher stands.
run(0 ${PROGRAM} calibrate still.png --launcher-end left --out still.toml --json)
foreach(axis x y z)
  string(JSON ${axis} GET "${out}" eye_${axis}_mm)
  string(REGEX REPLACE "[.].*" "" ${axis} "${${axis}}")
endforeach()
require_camera("camera at x ${x}, y ${y} mm, ${z} mm above")
