# SPDX-License-Identifier: MIT
# What 'cmake --install' puts in place works after it was moved: the program
# finds the profiles beside it, and without them those built into it.
#   cmake -DBUILD=build -DWORK=folder -DVERSION=0.3.0 -DINPUT=tests/cli/input -P install_test.cmake
cmake_minimum_required(VERSION 3.25)
file(REMOVE_RECURSE ${WORK})

function(run expected_exit text)
  execute_process(COMMAND ${ARGN} WORKING_DIRECTORY ${WORK}
    RESULT_VARIABLE exit OUTPUT_VARIABLE out ERROR_VARIABLE out)
  string(FIND "${out}" "${text}" found)
  if(NOT exit STREQUAL "${expected_exit}" OR found EQUAL -1)
    list(JOIN ARGN " " words)
    message(FATAL_ERROR "${words}\nexit ${exit}, expected ${expected_exit} and '${text}':\n${out}")
  endif()
endfunction()

file(MAKE_DIRECTORY ${WORK})
run(0 "" ${CMAKE_COMMAND} --install ${BUILD} --prefix ${WORK}/staged)
file(RENAME ${WORK}/staged ${WORK}/moved)
set(program ${WORK}/moved/bin/evenfeed)
set(profiles ${WORK}/moved/share/evenfeed/profiles)
file(COPY ${INPUT}/one-feed DESTINATION ${WORK})
unset(ENV{EVENFEED_PROFILES})

run(0 "evenfeed ${VERSION}" ${program} --version)
run(0 "report.html" ${program} report one-feed)
# The installed profile is the one that is read: a fault in it is told by file.
file(READ ${profiles}/table-tennis.toml text)
file(APPEND ${profiles}/table-tennis.toml "\n[colours]\nball = \"white\"\n")
run(1 "${profiles}/table-tennis.toml:" ${program} report one-feed)
# One's own folder comes first.
file(WRITE ${WORK}/own/table-tennis.toml "${text}")
run(0 "report.html" ${CMAKE_COMMAND} -E env EVENFEED_PROFILES=${WORK}/own ${program} report one-feed)
# Without its folders the program knows what ships.
file(REMOVE_RECURSE ${WORK}/moved/share)
run(0 "report.html" ${program} report one-feed --profile pickleball)
run(1 "one of: pickleball, table-tennis" ${program} report one-feed --profile nobody)
run(1 "half720p120" ${program} simulate --scene nobody --out film)
file(REMOVE_RECURSE ${WORK})
