# SPDX-License-Identifier: MIT
# Manual pages of the package, compressed as Debian wants them, without a time
# of day; what 'cmake --install' puts down for anybody else stays plain.
set(place "$ENV{DESTDIR}${CMAKE_INSTALL_PREFIX}")
if(place MATCHES "/_CPack_Packages/")
  file(GLOB_RECURSE pages ${place}/*.1)
  if(NOT pages)
    message(FATAL_ERROR "no manual pages below ${place}")
  endif()
  execute_process(COMMAND gzip -9n ${pages} COMMAND_ERROR_IS_FATAL ANY)
endif()
