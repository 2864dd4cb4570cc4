# SPDX-License-Identifier: MIT
# The Debian package: 'cpack -G DEB' in the build folder, after building all.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_CONTACT "The evenfeed developers <developers@evenfeed.invalid>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "measure from a film how evenly a ball launcher feeds")
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION
"One fixed camera films a table that a launcher feeds balls onto. evenfeed
calibrates the camera by the table, measures every feed (where and when it
bounces, how fast, how steep, what the sample sends back), says when the
launcher was warmed up and which feeds may be used, and compares samples on
trials that got the same feed.")
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_STRIP_FILES ON)
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
include(CPack)

# What Debian wants beside the files: compressed without a time of day.
find_program(EVENFEED_GZIP gzip)
if(EVENFEED_GZIP)
  execute_process(COMMAND ${EVENFEED_GZIP} -9nc ${CMAKE_CURRENT_LIST_DIR}/changelog
    OUTPUT_FILE ${CMAKE_CURRENT_BINARY_DIR}/changelog.gz COMMAND_ERROR_IS_FATAL ANY)
  install(FILES ${CMAKE_CURRENT_BINARY_DIR}/changelog.gz DESTINATION ${CMAKE_INSTALL_DOCDIR})
endif()
install(FILES ${CMAKE_CURRENT_LIST_DIR}/copyright DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(FILES ${CMAKE_CURRENT_LIST_DIR}/lintian-overrides
  DESTINATION ${CMAKE_INSTALL_DATADIR}/lintian/overrides RENAME evenfeed)
install(SCRIPT ${CMAKE_CURRENT_LIST_DIR}/compress_manual.cmake)
