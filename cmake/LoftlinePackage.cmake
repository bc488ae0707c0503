# What `cmake --install` puts down: the program, the rooms as libraries with their headers, and a package that
# find_package(loftline) finds (docs/library.md). The app room stays out: it is the program.
include(GNUInstallDirs)
include(CMakePackageConfigHelpers)

set(package_dir ${CMAKE_INSTALL_LIBDIR}/cmake/loftline)
set(header_dir ${CMAKE_INSTALL_INCLUDEDIR}/loftline)

# Headers that show Ceres, libav or Cairo, themselves or through another: for their own room alone.
set(private_headers
  tracker/clip_run.h tracker/decode_clip.h tracker/decode_handles.h tracker/decode_planes.h tracker/frame_index.h
  fit/path_nodes.h
  report/av_handles.h report/cairo_canvas.h)

foreach(room core tracker calibrate fit study report)
  set_target_properties(loftline_${room} PROPERTIES EXPORT_NAME ${room})
  target_include_directories(loftline_${room} INTERFACE $<INSTALL_INTERFACE:${header_dir}>)
  install(TARGETS loftline_${room} EXPORT loftline_targets ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR})
  set(left_out)
  foreach(header IN LISTS private_headers)
    if(header MATCHES "^${room}/(.*)$")
      list(APPEND left_out PATTERN ${CMAKE_MATCH_1} EXCLUDE)
    endif()
  endforeach()
  install(DIRECTORY ${PROJECT_SOURCE_DIR}/${room}/ DESTINATION ${header_dir}/${room}
          FILES_MATCHING PATTERN "*.h" PATTERN third_party EXCLUDE PATTERN page EXCLUDE ${left_out})
endforeach()
install(TARGETS loftline RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(FILES ${PROJECT_SOURCE_DIR}/LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR})

install(EXPORT loftline_targets NAMESPACE loftline:: FILE loftlineTargets.cmake DESTINATION ${package_dir})
configure_package_config_file(${CMAKE_CURRENT_LIST_DIR}/loftlineConfig.cmake.in ${PROJECT_BINARY_DIR}/loftlineConfig.cmake
                              INSTALL_DESTINATION ${package_dir} NO_SET_AND_CHECK_MACRO NO_CHECK_REQUIRED_COMPONENTS_MACRO)
# Before 1.0 a minor version may change what users compile against.
write_basic_package_version_file(${PROJECT_BINARY_DIR}/loftlineConfigVersion.cmake COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/loftlineConfig.cmake ${PROJECT_BINARY_DIR}/loftlineConfigVersion.cmake
        DESTINATION ${package_dir})
