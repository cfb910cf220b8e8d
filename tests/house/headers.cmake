# Every public header alone in a translation unit, twice, with the warnings on: it compiles without luck in the order of
# includes and without any library that its room keeps private. Building the target is the test; -O0, because only the
# compiler's front end matters.
file(GLOB_RECURSE headers CONFIGURE_DEPENDS RELATIVE "${PROJECT_SOURCE_DIR}/include" "${PROJECT_SOURCE_DIR}/include/*.hpp")
set(units)
foreach(header IN LISTS headers)
  string(REGEX REPLACE "[/.]" "_" name "${header}")
  set(unit "${CMAKE_CURRENT_BINARY_DIR}/headers/${name}.cpp")
  file(CONFIGURE OUTPUT "${unit}" CONTENT "#include <${header}>\n#include <${header}>\n")
  list(APPEND units "${unit}")
endforeach()
add_library(house_headers OBJECT ${units})
target_link_libraries(house_headers PRIVATE tl::expected chipledger_numerics chipledger_warnings)
target_include_directories(house_headers PRIVATE "${PROJECT_SOURCE_DIR}/include")
target_compile_options(house_headers PRIVATE -O0 -g0)
