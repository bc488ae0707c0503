# Builds app/page (TypeScript) into one script, one style sheet and index.html, and those into page_files.cc.
# Leaves ${page_source} for the room's sources, and the built files in ${page_dist}.
# The tools lie in the build tree; nothing is written beside the sources.
find_program(LOFTLINE_NODE NAMES node nodejs)
find_program(LOFTLINE_NPM npm)
if(NOT LOFTLINE_NODE OR NOT LOFTLINE_NPM)
  message(FATAL_ERROR "The page is built with Node.js (18 or newer) and its npm, and one of them is not there: "
                      "'./dev build' installs both")
endif()
execute_process(COMMAND ${LOFTLINE_NODE} --version OUTPUT_VARIABLE node_version OUTPUT_STRIP_TRAILING_WHITESPACE)
string(REPLACE "v" "" node_version "${node_version}")
if(node_version VERSION_LESS 18)
  message(FATAL_ERROR "The page needs Node.js 18 or newer to be built, and ${LOFTLINE_NODE} is ${node_version}")
endif()

set(page_home ${CMAKE_CURRENT_SOURCE_DIR}/page)
set(page_tools ${CMAKE_CURRENT_BINARY_DIR}/page)
set(page_dist ${page_tools}/dist)
set(page_source ${CMAKE_CURRENT_BINARY_DIR}/page_files.cc)
file(GLOB_RECURSE page_inputs CONFIGURE_DEPENDS ${page_home}/src/*.ts ${page_home}/src/*.css)

add_custom_command(
  OUTPUT ${page_tools}/tools.stamp
  COMMAND ${CMAKE_COMMAND} -E make_directory ${page_tools}
  COMMAND ${CMAKE_COMMAND} -E copy ${page_home}/package.json ${page_home}/package-lock.json ${page_home}/.npmrc ${page_tools}
  COMMAND ${CMAKE_COMMAND} -E chdir ${page_tools} ${LOFTLINE_NPM} ci --ignore-scripts --no-progress --loglevel=error
  COMMAND ${CMAKE_COMMAND} -E touch ${page_tools}/tools.stamp
  DEPENDS ${page_home}/package.json ${page_home}/package-lock.json ${page_home}/.npmrc
  COMMENT "Fetching the page's build tools"
  VERBATIM)

# The types are checked first, so that a page with a wrong one is never built.
add_custom_command(
  OUTPUT ${page_dist}/index.html ${page_dist}/app.js ${page_dist}/app.css
  COMMAND ${LOFTLINE_NODE} ${page_tools}/node_modules/typescript/bin/tsc -p ${page_home}/tsconfig.json
  COMMAND ${LOFTLINE_NODE} ${page_tools}/node_modules/vite/bin/vite.js build ${page_home} --config ${page_home}/vite.config.mjs
          --configLoader native --outDir ${page_dist} --logLevel warn
  DEPENDS ${page_tools}/tools.stamp ${page_inputs} ${page_home}/index.html ${page_home}/tsconfig.json ${page_home}/vite.config.mjs
  COMMENT "Building the page"
  VERBATIM)

set(page_built kIndexHtml=${page_dist}/index.html,kAppJs=${page_dist}/app.js,kAppCss=${page_dist}/app.css)
add_custom_command(
  OUTPUT ${page_source}
  COMMAND ${CMAKE_COMMAND} -DOUTPUT=${page_source} -DFILES=${page_built} -DHEADER=app/page_files.h -DNAMESPACE=loftline::app_page
          -P ${PROJECT_SOURCE_DIR}/report/embed.cmake
  DEPENDS ${PROJECT_SOURCE_DIR}/report/embed.cmake ${page_dist}/index.html ${page_dist}/app.js ${page_dist}/app.css
  VERBATIM)
