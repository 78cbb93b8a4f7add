#pragma once
// What the copies of a catalogue share: its values, a quick way to each, and the tables worked out of them.

#include <map>
#include <memory>
#include <shared_mutex>
#include <string_view>
#include <typeindex>
#include <unordered_map>

#include "catalogue/check.hpp"

namespace libseal::detail {

class CatalogueStore {
public:
    explicit CatalogueStore(CatalogueValues values);
    CatalogueStore(const CatalogueStore&) = delete;
    CatalogueStore& operator=(const CatalogueStore&) = delete;

    /// All values, in order of their ids.
    const CatalogueValues& values() const { return values_; }
    /// nullptr if there is no such id.
    const SourcedValue* find(std::string_view id) const {
        const auto found = index_.find(id);
        return found == index_.end() ? nullptr : found->second;
    }

    /// Table of a type, nullptr if there is none yet.
    const void* table(std::type_index type) const;
    /// Keeps a table unless there is one of its type. @return  The one that is kept.
    const void* keep(std::type_index type, std::shared_ptr<const void> made) const;

private:
    CatalogueValues values_;
    std::unordered_map<std::string_view, const SourcedValue*> index_;  ///< views of the ids in `values_`
    mutable std::shared_mutex mutex_;
    mutable std::map<std::type_index, std::shared_ptr<const void>> tables_;
};

}  // namespace libseal::detail
