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
