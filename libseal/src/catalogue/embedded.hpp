#pragma once
// The catalogue files as text inside the library.

#include <string>
#include <string_view>
#include <vector>

namespace libseal::detail {

struct EmbeddedFile {
    std::string_view name;
    std::string text;  ///< joined from pieces: compilers need not take literals over 65,536 characters
};

/// The files of libseal/data/catalogue, in order of their names. Defined in a source made by the build.
const std::vector<EmbeddedFile>& embedded_catalogue_files();
/// The overlays of libseal/data/catalogue_presets, in order of their names.
const std::vector<EmbeddedFile>& embedded_preset_files();

}  // namespace libseal::detail
