# SPDX-License-Identifier: MIT
# The main job from a film to a filed session and its page, by the program
# itself: exit codes, every file with what belongs in it, and the words a
# person sees.
#   cmake -DPROGRAM= -DWORK= -DSHORT_FILM= -DTWO_FILMS= -DVERSION= -P main_job.cmake
cmake_minimum_required(VERSION 3.25)
file(REMOVE_RECURSE ${WORK})
file(MAKE_DIRECTORY ${WORK})

# Runs the program; its exit code must be `expected`, standard error empty.
# Leaves standard output in `out`.
macro(run expected)
  execute_process(COMMAND ${PROGRAM} ${ARGN} WORKING_DIRECTORY ${WORK}
    RESULT_VARIABLE exit OUTPUT_VARIABLE out ERROR_VARIABLE err)
  if(NOT exit STREQUAL "${expected}" OR NOT err STREQUAL "")
    message(FATAL_ERROR "${ARGN}\nexit ${exit}, expected ${expected}\n${out}${err}")
  endif()
endmacro()

include(${CMAKE_CURRENT_LIST_DIR}/require.cmake)

file(CREATE_LINK ${SHORT_FILM}/film ${WORK}/film SYMBOLIC)
file(STRINGS ${WORK}/film/truth.csv truth)
list(LENGTH truth rows)
math(EXPR thrown "${rows} - 1")

# A few feeds are never enough to be ready: with --gate that is 3.
run(3 session film/session.mp4 --out out --gate --db store.db --launcher bench-A
  --sample "sheet <K>" --property hardness=47 --setting wheel=40 --date 2026-03-14T15:30)
string(FIND "${out}" "NOT KNOWN YET" first)
if(NOT first EQUAL 0)
  message(FATAL_ERROR "the verdict does not come first:\n${out}")
endif()
require("${out}" "${thrown} feeds" "written:\n  out/report.html   the page: open it\n"
  "  out/overlay.png " "next: " "filed as session 1"
  "the sound was not used: the film has no sound"
  "filmed 2026-03-14 15:30 UTC, as was said")
string(FIND "${out}" "focal" details)
if(NOT details EQUAL -1)
  message(FATAL_ERROR "the lens is told without --verbose:\n${out}")
endif()

file(GLOB written RELATIVE ${WORK}/out ${WORK}/out/*)
set(expected bench.toml feeds.csv flights.csv overlay.png pictures report.html session.json summary.json
  tagged.csv)
if(NOT "${written}" STREQUAL "${expected}")
  message(FATAL_ERROR "wrote '${written}', expected '${expected}'")
endif()
foreach(table feeds tagged)
  file(STRINGS ${WORK}/out/${table}.csv lines)
  list(LENGTH lines count)
  list(GET lines 0 header)
  if(NOT count EQUAL rows OR NOT header MATCHES "^feed,t_launch_s,t_bounce_s")
    message(FATAL_ERROR "${table}.csv: ${count} lines for ${rows}, header ${header}")
  endif()
endforeach()
file(GLOB stills RELATIVE ${WORK}/out/pictures ${WORK}/out/pictures/*)
list(LENGTH stills count)
if(NOT count EQUAL thrown)
  message(FATAL_ERROR "pictures: '${stills}' of ${thrown} feeds")
endif()
foreach(still ${stills})
  file(SIZE ${WORK}/out/pictures/${still} bytes)
  if(bytes GREATER 15000 OR bytes LESS 2000)
    message(FATAL_ERROR "${still}: ${bytes} bytes")
  endif()
endforeach()
file(READ ${WORK}/out/bench.toml bench)
require("${bench}" "evenfeed ${VERSION}" "[camera]")
file(READ ${WORK}/out/session.json session)
require("${session}" "\"program_version\": \"${VERSION}\"" "\"launcher\": \"bench-A\""
  "\"dated_by\": \"said\"" "\"hardness\": \"47\"" "\"wheel\": \"40\"")
file(READ ${WORK}/out/summary.json summary)
require("${summary}" "\"program_version\": \"${VERSION}\"" "\"ready\": false" "\"used\": false"
  "the film has no sound")
file(READ ${WORK}/out/report.html page)
require("${page}" "sheet &lt\;K&gt\;" "bench-A" "evenfeed ${VERSION}" "2026-03-14 15:30 UTC"
  "the film has no sound")

# The page made anew, and from what was filed, is the same page.
run(0 report out --out again.html --quiet)
file(READ ${WORK}/again.html again)
if(NOT "${again}" STREQUAL "${page}")
  message(FATAL_ERROR "report writes another page than session did")
endif()
run(0 report out --csv)
require("${out}" "2026-03-14T15:30:00Z,said,bench-A,sheet <K>")
run(0 store show 1 --db store.db)
require("${out}" "launcher  bench-A" "measured  by evenfeed ${VERSION}" "${thrown} feeds")
# Feeds cut out of the film, and the refusals, each with nothing written.
run(0 clip film/session.mp4 --feeds 2,1 --from out --out clips --slow 2)
require("${out}" "feed-001.mp4: " " frames from ")
file(GLOB clips RELATIVE ${WORK}/clips ${WORK}/clips/*)
if(NOT clips STREQUAL "feed-001.mp4;feed-002.mp4")
  message(FATAL_ERROR "clips: '${clips}'")
endif()
run(0 clip film/session.mp4 --feeds 1 --from out --out clips --json)
string(JSON frames GET "${out}" clips 0 frames)
if(frames LESS 60)
  message(FATAL_ERROR "clip --json:\n${out}")
endif()
run(0 measure --sightings film/truth_sightings.csv --bench out/bench.toml --out again.csv --json)
string(JSON feeds GET "${out}" feeds)
string(JSON written GET "${out}" written 0)
if(NOT feeds EQUAL thrown OR NOT written STREQUAL "again.csv")
  message(FATAL_ERROR "measure --json:\n${out}")
endif()
function(refused words)
  execute_process(COMMAND ${ARGN} WORKING_DIRECTORY ${WORK}
    RESULT_VARIABLE exit OUTPUT_VARIABLE out ERROR_VARIABLE err)
  require("${err}" "${words}")
  if(NOT exit STREQUAL 1 OR NOT out STREQUAL "" OR EXISTS ${WORK}/none)
    message(FATAL_ERROR "${ARGN}\nexit ${exit}\n${out}${err}")
  endif()
endfunction()
refused("--feeds 99: there is no such feed" ${PROGRAM} clip film/session.mp4 --feeds 1,99
  --from out --out none)
refused("this is not the film of out" ${PROGRAM} clip ${TWO_FILMS}/film-K/session.mp4 --feeds 1
  --from out --out none)
refused("there is no such film" ${PROGRAM} clip absent.mp4 --feeds 1 --from out --out none)
refused("Check that the folder is writable and the disk is not full" sh -c
  "trap '' XFSZ && ulimit -f 8 && exec \"$0\" \"$@\"" ${PROGRAM} clip film/session.mp4 --feeds 1,2
  --from out --out none)

# Without pictures older ones go, and nobody else's. Without listening not a byte
# of the numbers differs from those of a film that has no sound.
file(WRITE ${WORK}/out/pictures/own.jpg "somebody's")
foreach(numbers feeds.csv flights.csv tagged.csv bench.toml)
  file(SHA256 ${WORK}/out/${numbers} seen_${numbers})
endforeach()
run(0 session film/session.mp4 --out out --pictures none --no-sound)
file(READ ${WORK}/out/summary.json summary)
string(FIND "${out}${summary}" "sound" told)
if(NOT told EQUAL -1)
  message(FATAL_ERROR "sound is told of that nobody listened to:\n${out}${summary}")
endif()
foreach(numbers feeds.csv flights.csv tagged.csv bench.toml)
  file(SHA256 ${WORK}/out/${numbers} listened)
  if(NOT listened STREQUAL "${seen_${numbers}}")
    message(FATAL_ERROR "${numbers} differs for a film without sound")
  endif()
endforeach()
file(GLOB stills RELATIVE ${WORK}/out/pictures ${WORK}/out/pictures/*)
if(NOT stills STREQUAL "own.jpg")
  message(FATAL_ERROR "pictures that should not be there: '${stills}'")
endif()
run(0 store list --db store.db --csv)
require("${out}" "1,2026-03-14T15:30:00Z,said,bench-A")
file(REMOVE_RECURSE ${WORK})
