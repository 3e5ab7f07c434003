# cmake -D "SHEETS=a.yaml;b.yaml" -D OUT=file.c -P embed_builtin.cmake
# Numbers instead of string literals: C11 promises no more than 4095 characters of those.
set(arrays "")
set(table "")
set(index 0)
foreach(sheet IN LISTS SHEETS)
  get_filename_component(name "${sheet}" NAME_WE)
  file(READ "${sheet}" bytes HEX)
  string(REGEX REPLACE "(..)" "0x\\1," bytes "${bytes}")
  string(APPEND arrays "static const unsigned char text_${index}[] = {${bytes}0x00};\n")
  string(APPEND table "  {\"${name}\", text_${index}, sizeof text_${index} - 1},\n")
  math(EXPR index "${index} + 1")
endforeach()
file(WRITE "${OUT}" "#include \"crop/builtin_texts.h\"\n\n${arrays}\n"
  "const struct isw_builtin_text isw_crop_builtin_texts[] = {\n${table}  {NULL, NULL, 0}};\n")
