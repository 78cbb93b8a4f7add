#pragma once
// Every default of the library: a value with unit, range, source and mark, and a shop's own values over it.

#include <memory>
#include <string>
#include <string_view>
#include <typeindex>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/core/sourced.hpp"

namespace libseal {

namespace detail {
class CatalogueStore;
}

/// Sourced values by id, for example "sealant/self_levelling_lap/weight_light". Immutable once made; copies share.
///
/// @threads  Read it from as many threads as you like.
class Catalogue {
public:
    /// Without any value.
    Catalogue();

    /// The defaults inside the library: lives, weights and energies for coaches.
    static Catalogue built_in();

    /// "coach": `built_in`. "building": lives, weights and energies of building joints over it; the life of a joint of
    /// unknown family has 55 % failed by year 10 and 95 % by year 20.
    /// @throws ValueError  unknown name, with the nearest known one.
    /// @source  Values with their sources: libseal/data/catalogue_presets. UK survey 1990, quoted by RILEM TC 190-SBJ.
    static Catalogue preset(const std::string& name);
    /// Names that `preset` takes.
    static std::vector<std::string> preset_names();

    /// This catalogue with the values of an overlay on top: same schema, `libseal/catalogue/1`.
    /// An overlay names value, source and mark; unit and range stay unless given, the unit may not change. A value beyond
    /// the range of this catalogue is an error, unless the overlay widens the range: then it is taken, with a warning.
    /// Never-seal places cannot be opened by an overlay.
    /// @param text  JSON.  @param name  Stands for the file in errors.
    /// @throws ValueError  with line and column: unknown ids (with the nearest known one), and what `check_catalogue`
    ///                     would find, for example weights of a family that do not sum to 1.
    Catalogue with_overlay(std::string_view text, const std::string& name) const;

    /// Whether both hold the same values under the same ids, wherever they are from.
    bool operator==(const Catalogue& other) const;

    /// Values of overlays that were taken although they lie beyond the range beneath them, with their places.
    const std::vector<Problem>& warnings() const { return *warnings_; }

    /// Is there such an id?
    bool has(std::string_view id) const;
    /// Is there an id that starts with `prefix`?
    bool has_prefix(std::string_view prefix) const;
    /// @throws ValueError  if there is no such id, with the nearest known one.
    const SourcedValue& at(std::string_view id) const;
    /// Number under an id. [as the entry's unit says] @throws ValueError  if absent or a word.
    double number(std::string_view id) const;
    /// Word under an id. @throws ValueError  if absent or a number.
    const std::string& word(std::string_view id) const;
    /// All ids that start with `prefix`, in order.
    std::vector<std::string> ids(std::string_view prefix = "") const;
    /// Distinct names at the second level under a first one: names("sealant") lists the sealant families.
    std::vector<std::string> names(std::string_view first) const;

    /// A table worked out of the values: made by T(catalogue) at the first call, kept as long as any copy of this catalogue lives.
    /// T may refer to the values, and must not hold a Catalogue.
    template <class T>
    const T& derived() const {
        const void* kept = derived_of(typeid(T));
        if (!kept) kept = keep_derived(typeid(T), std::make_shared<const T>(*this));
        return *static_cast<const T*>(kept);
    }

private:
    friend std::vector<Problem> check_catalogue(const Catalogue& catalogue);
    /// nullptr if there is none yet.
    const void* derived_of(std::type_index type) const;
    /// Keeps the first one of a type. @return  The one that is kept.
    const void* keep_derived(std::type_index type, std::shared_ptr<const void> made) const;

    std::shared_ptr<const detail::CatalogueStore> store_;
    std::shared_ptr<const std::vector<Problem>> warnings_ = std::make_shared<const std::vector<Problem>>();
};

/// Built-in catalogue with the overlay file at `path` over it ("" for none).
/// @param preset  Catalogue beneath the overlay, see `Catalogue::preset`.
Catalogue read_catalogue(const std::string& path, const std::string& preset = "coach");

/// What is missing from a catalogue or contradicts itself: every family, finish and substrate has every value that the
/// models need, weights sum to 1, low <= value <= high. Empty for whatever the library itself made.
std::vector<Problem> check_catalogue(const Catalogue& catalogue);

}  // namespace libseal
