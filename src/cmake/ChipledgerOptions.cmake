# How our own code is compiled. Nothing here is exported to users of the library.

# Numbers: no fused or reordered arithmetic, so the same input gives the same bytes on every build.
add_library(chipledger_numerics INTERFACE)
target_compile_features(chipledger_numerics INTERFACE cxx_std_20)
target_compile_options(chipledger_numerics INTERFACE -ffp-contract=off)

add_library(chipledger_warnings INTERFACE)
target_compile_options(chipledger_warnings INTERFACE -Wall -Wextra -Wpedantic -Wshadow -Wnon-virtual-dtor
  -Woverloaded-virtual -Wconversion -Wno-sign-conversion -Werror)
if(CHIPLEDGER_SANITIZE OR CHIPLEDGER_SANITIZE_THREADS)  # their checks make the compiler warn of what cannot be
  target_compile_options(chipledger_warnings INTERFACE -Wno-error)
endif()

if(CHIPLEDGER_SANITIZE)
  add_compile_options(-fsanitize=address,undefined -fno-omit-frame-pointer -fno-sanitize-recover=undefined)
  add_link_options(-fsanitize=address,undefined)
endif()

if(CHIPLEDGER_SANITIZE_THREADS)  # plain threads in place of the task library, which is not built for it
  add_compile_options(-fsanitize=thread -fno-omit-frame-pointer)
  add_link_options(-fsanitize=thread)
  add_compile_definitions(CHIPLEDGER_PLAIN_THREADS)
endif()

if(CHIPLEDGER_BUILD_FUZZ)  # clang only; the targets of tests/fuzz link the fuzzer itself
  add_compile_options(-fsanitize=fuzzer-no-link,address,undefined -fno-omit-frame-pointer -fno-sanitize-recover=undefined -g1)
  add_link_options(-fsanitize=address,undefined)
endif()
