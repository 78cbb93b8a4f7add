# Writes OUTPUT, a C++ source that holds the text of FILES and of PRESETS as (name, text) pairs.
# Called as: cmake -DFILES=a;b -DPRESETS=c -DOUTPUT=x.cpp -P embed_files.cmake
function(rows_of result)
    set(rows "")
    foreach(file IN LISTS ARGN)
        get_filename_component(name "${file}" NAME)
        file(READ "${file}" text)
        string(LENGTH "${text}" length)
        # Pieces, joined when the program starts: the standard promises literals of 65,536 characters only.
        set(pieces "")
        set(start 0)
        while(start LESS length)
            string(SUBSTRING "${text}" ${start} 8000 piece)
            string(APPEND pieces "        R\"seal(${piece})seal\",\n")
            math(EXPR start "${start} + 8000")
        endwhile()
        string(APPEND rows "        {\"${name}\", joined({\n${pieces}        })},\n")
    endforeach()
    set(${result} "${rows}" PARENT_SCOPE)
endfunction()

rows_of(rows ${FILES})
rows_of(preset_rows ${PRESETS})
file(WRITE "${OUTPUT}" "// Made from libseal/data/catalogue at build time.
#include \"catalogue/embedded.hpp\"

#include <initializer_list>

namespace libseal::detail {
namespace {

std::string joined(std::initializer_list<std::string_view> pieces) {
    std::string text;
    for (const auto piece : pieces) text += piece;
    return text;
}

}  // namespace

const std::vector<EmbeddedFile>& embedded_catalogue_files() {
    static const std::vector<EmbeddedFile> files = {
${rows}    };
    return files;
}

const std::vector<EmbeddedFile>& embedded_preset_files() {
    static const std::vector<EmbeddedFile> files = {
${preset_rows}    };
    return files;
}

}  // namespace libseal::detail
")
