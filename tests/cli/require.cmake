# SPDX-License-Identifier: MIT
# Every further argument must stand in the text.
function(require text)
  foreach(part ${ARGN})
    string(FIND "${text}" "${part}" found)
    if(found EQUAL -1)
      message(FATAL_ERROR "lacks '${part}':\n${text}")
    endif()
  endforeach()
endfunction()
