# The one place for compiler flags, and one helper per kind of target.

add_library(loftline_flags INTERFACE)
target_include_directories(loftline_flags INTERFACE ${PROJECT_SOURCE_DIR})
target_compile_options(loftline_flags INTERFACE -Wall -Wextra -Wpedantic -Wshadow -Wnon-virtual-dtor -Wcast-align
                                                -Wold-style-cast -Wunused -Woverloaded-virtual -Werror
                                                -Wno-missing-field-initializers  # our structs have defaults for what is left out
                                                -Wno-restrict)  # false alarms on std::string in GCC 12 (its bug 105651)
target_compile_definitions(loftline_flags INTERFACE LOFTLINE_VERSION="${PROJECT_VERSION}")
if(LOFTLINE_SANITIZE)
  target_compile_options(loftline_flags INTERFACE -fsanitize=${LOFTLINE_SANITIZE} -fno-omit-frame-pointer
                                                  -fno-sanitize-recover=all)
  target_link_options(loftline_flags INTERFACE -fsanitize=${LOFTLINE_SANITIZE})
endif()

# Libraries whose headers would not pass our warnings are taken as system headers.
foreach(third_party Eigen3::Eigen Ceres::ceres PkgConfig::loftline_libav PkgConfig::loftline_cairo)
  get_target_property(third_party_includes ${third_party} INTERFACE_INCLUDE_DIRECTORIES)
  if(third_party_includes)
    set_target_properties(${third_party} PROPERTIES INTERFACE_SYSTEM_INCLUDE_DIRECTORIES "${third_party_includes}")
  endif()
endforeach()

# loftline_room(fit SOURCES a.cc b.cc PUBLIC loftline::calibrate PRIVATE Ceres::ceres)
function(loftline_room name)
  cmake_parse_arguments(ROOM "" "" "SOURCES;PUBLIC;PRIVATE" ${ARGN})
  add_library(loftline_${name} STATIC ${ROOM_SOURCES})
  add_library(loftline::${name} ALIAS loftline_${name})
  target_compile_features(loftline_${name} PUBLIC cxx_std_20)
  target_include_directories(loftline_${name} PUBLIC $<BUILD_INTERFACE:${PROJECT_SOURCE_DIR}>)
  # Our flags are for building the rooms, not for those who install and use them.
  target_link_libraries(loftline_${name} PUBLIC ${ROOM_PUBLIC} PRIVATE $<BUILD_INTERFACE:loftline_flags> ${ROOM_PRIVATE})
endfunction()

# loftline_program(name SOURCES a.cc LINKS loftline::fit)
function(loftline_program name)
  cmake_parse_arguments(PROGRAM "" "" "SOURCES;LINKS" ${ARGN})
  add_executable(${name} ${PROGRAM_SOURCES})
  target_link_libraries(${name} PRIVATE loftline_flags ${PROGRAM_LINKS})
endfunction()

# loftline_test(core SOURCES x_test.cc LINKS loftline::core): one GoogleTest program per room, named ROOM_tests, each of
# its cases a CTest test named "room/Suite.Case".
function(loftline_test room)
  cmake_parse_arguments(TEST "" "TIMEOUT" "SOURCES;LINKS" ${ARGN})
  if(NOT TEST_TIMEOUT)
    set(TEST_TIMEOUT 120)
  endif()
  loftline_program(${room}_tests SOURCES ${TEST_SOURCES} LINKS ${TEST_LINKS} GTest::gmock GTest::gtest_main)
  target_compile_definitions(${room}_tests PRIVATE LOFTLINE_SOURCE_DIR="${PROJECT_SOURCE_DIR}")
  gtest_discover_tests(${room}_tests TEST_PREFIX "${room}/" DISCOVERY_TIMEOUT 60
                       PROPERTIES TIMEOUT ${TEST_TIMEOUT} LABELS ${room})
endfunction()
