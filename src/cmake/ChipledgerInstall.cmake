# Install and export: find_package(chipledger) gives chipledger::<room> targets.
include(CMakePackageConfigHelpers)
get_property(rooms GLOBAL PROPERTY CHIPLEDGER_ROOMS)
install(TARGETS ${rooms} EXPORT chipledgerTargets FILE_SET HEADERS)
install(TARGETS chipledger RUNTIME)
install(EXPORT chipledgerTargets NAMESPACE chipledger:: DESTINATION ${CMAKE_INSTALL_LIBDIR}/cmake/chipledger)
configure_package_config_file(src/cmake/chipledgerConfig.cmake.in "${PROJECT_BINARY_DIR}/chipledgerConfig.cmake"
  INSTALL_DESTINATION ${CMAKE_INSTALL_LIBDIR}/cmake/chipledger)
write_basic_package_version_file("${PROJECT_BINARY_DIR}/chipledgerConfigVersion.cmake" COMPATIBILITY SameMinorVersion)
install(FILES "${PROJECT_BINARY_DIR}/chipledgerConfig.cmake" "${PROJECT_BINARY_DIR}/chipledgerConfigVersion.cmake"
  DESTINATION ${CMAKE_INSTALL_LIBDIR}/cmake/chipledger)
install(FILES README.md CHANGELOG.md DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(FILES LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME copyright)
file(GLOB schemas CONFIGURE_DEPENDS "${PROJECT_SOURCE_DIR}/docs/*.schema.json")
install(FILES ${schemas} DESTINATION "${CMAKE_INSTALL_DATADIR}/chipledger/schema")

# A package for the distribution it is built on: cpack -G DEB, or ./dev package.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME chipledger)
set(CPACK_PACKAGE_CONTACT "The chipledger authors <chipledger@example.org>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "${PROJECT_DESCRIPTION}")
set(CPACK_RESOURCE_FILE_LICENSE "${PROJECT_SOURCE_DIR}/LICENSE")
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_STRIP_FILES ON)
include(CPack)
