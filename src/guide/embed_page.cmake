# cmake -D "FILES=page.html;page.css" -D OUT=file.c -P embed_page.cmake
# Numbers instead of string literals: C11 promises no more than 4095 characters of those.
set(arrays "")
set(table "")
set(index 0)
foreach(file IN LISTS FILES)
  get_filename_component(name "${file}" NAME)
  file(READ "${file}" bytes HEX)
  string(REGEX REPLACE "(..)" "0x\\1," bytes "${bytes}")
  string(APPEND arrays "static const unsigned char text_${index}[] = {${bytes}0x00};\n")
  string(APPEND table "  {\"${name}\", text_${index}},\n")
  math(EXPR index "${index} + 1")
endforeach()
file(WRITE "${OUT}" "#include \"guide/page_texts.h\"\n\n${arrays}\n"
  "const struct isw_page_text isw_guide_page_texts[] = {\n${table}  {NULL, NULL}};\n")
