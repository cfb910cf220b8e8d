# The packaged libraries we stand on, each wrapped in one target.
find_package(OpenCASCADE REQUIRED)
find_package(TBB REQUIRED)
find_package(fmt REQUIRED)
find_package(tomlplusplus REQUIRED)
find_package(nlohmann_json REQUIRED)
find_package(CLI11 REQUIRED)
find_package(tl-expected REQUIRED)
find_package(muparser REQUIRED)
find_package(PkgConfig REQUIRED)
pkg_check_modules(polyclipping REQUIRED IMPORTED_TARGET polyclipping)

# The kernel's STEP toolkits: the names changed with 7.8. Its targets carry no include folder.
add_library(chipledger_kernel INTERFACE)
target_include_directories(chipledger_kernel SYSTEM INTERFACE ${OpenCASCADE_INCLUDE_DIR})
target_compile_definitions(chipledger_kernel INTERFACE OCC_CONVERT_SIGNALS)
target_compile_options(chipledger_kernel INTERFACE -Wno-deprecated-declarations)
set(_step_toolkits TKXDESTEP TKSTEP TKSTEPAttr TKSTEP209 TKSTEPBase)
if(OpenCASCADE_VERSION VERSION_GREATER_EQUAL 7.8)
  set(_step_toolkits TKDESTEP)
endif()
target_link_libraries(chipledger_kernel INTERFACE ${_step_toolkits} TKXCAF TKVCAF TKCAF TKLCAF TKCDF TKXSBase
  TKMesh TKFillet TKOffset TKBool TKBO TKShHealing TKPrim TKTopAlgo TKGeomAlgo TKBRep TKGeomBase TKG3d TKG2d TKMath TKernel)
