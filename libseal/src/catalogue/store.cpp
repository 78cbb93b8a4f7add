#include "catalogue/store.hpp"

#include <mutex>
#include <utility>

namespace libseal::detail {

CatalogueStore::CatalogueStore(CatalogueValues values) : values_(std::move(values)) {
    index_.reserve(values_.size());
    for (const auto& [id, value] : values_) index_.emplace(id, &value);
}

const void* CatalogueStore::table(std::type_index type) const {
    const std::shared_lock lock(mutex_);
    const auto found = tables_.find(type);
    return found == tables_.end() ? nullptr : found->second.get();
}

const void* CatalogueStore::keep(std::type_index type, std::shared_ptr<const void> made) const {
    const std::unique_lock lock(mutex_);
    return tables_.emplace(type, std::move(made)).first->second.get();
}

}  // namespace libseal::detail
