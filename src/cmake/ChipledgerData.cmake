# Tables compiled in: every src/cutting/data/*.toml becomes a text in one generated source file, and is installed beside the
# library for people who want to read or copy a row. Built in the order given; materials first, the rest refers to them.
set(CHIPLEDGER_TABLES materials limits speeds chip_loads engagements life plates threads crib)

function(chipledger_built_in_tables target)
  set(body "#include \"cutting/built_in_data.hpp\"\n\nnamespace chipledger::cutting {\n\nstd::vector<BuiltInFile> builtInData() {\n  return {\n")
  foreach(table IN LISTS CHIPLEDGER_TABLES)
    set(file "${PROJECT_SOURCE_DIR}/src/cutting/data/${table}.toml")
    set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS "${file}")
    file(READ "${file}" text)
    string(APPEND body "      {\"${table}.toml\", R\"toml(${text})toml\"},\n")
  endforeach()
  string(APPEND body "  };\n}\n\n}  // namespace chipledger::cutting\n")
  set(generated "${CMAKE_CURRENT_BINARY_DIR}/built_in_data.cpp")
  file(GENERATE OUTPUT "${generated}" CONTENT "${body}")
  target_sources(${target} PRIVATE "${generated}")
  install(DIRECTORY "${PROJECT_SOURCE_DIR}/src/cutting/data/" DESTINATION "${CMAKE_INSTALL_DATADIR}/chipledger/cutting")
endfunction()

# The routes that ship, compiled in and installed the same way.
function(chipledger_built_in_routes target)
  set(file "${PROJECT_SOURCE_DIR}/src/route/data/routes.toml")
  set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS "${file}")
  file(READ "${file}" text)
  set(generated "${CMAKE_CURRENT_BINARY_DIR}/built_in_routes.cpp")
  file(GENERATE OUTPUT "${generated}" CONTENT "#include \"route/built_in_routes.hpp\"\n\nnamespace chipledger::route {\n\nstd::string builtInRoutesText() { return R\"toml(${text})toml\"; }\n\n}  // namespace chipledger::route\n")
  target_sources(${target} PRIVATE "${generated}")
  install(FILES "${file}" DESTINATION "${CMAKE_INSTALL_DATADIR}/chipledger/route")
endfunction()
