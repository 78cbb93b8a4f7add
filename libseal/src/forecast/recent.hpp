#pragma once
// Things made once and kept while they are asked for; what was not asked for lately goes, so that memory has a bound.

#include <cstddef>
#include <map>
#include <memory>
#include <mutex>
#include <utility>

namespace libseal::detail {

/// @threads  safe; two threads that miss the same thing at once both make it, with the same bits.
template <class Key, class Value>
class Recent {
public:
    /// @param most  Of the things in use; up to twice as many are kept.
    explicit Recent(std::size_t most) : most_(most) {}

    template <class Make>
    std::shared_ptr<const Value> get(const Key& key, const Make& make) {
        {
            const std::lock_guard held(lock_);
            if (const auto found = young_.find(key); found != young_.end()) return found->second;
            if (const auto found = old_.find(key); found != old_.end()) return keep(key, found->second);
        }
        auto made = std::make_shared<const Value>(make());
        const std::lock_guard held(lock_);
        return keep(key, std::move(made));
    }

private:
    std::shared_ptr<const Value> keep(const Key& key, std::shared_ptr<const Value> value) {
        if (young_.size() >= most_) {
            old_ = std::move(young_);
            young_.clear();
        }
        return young_.try_emplace(key, std::move(value)).first->second;
    }

    std::mutex lock_;
    std::size_t most_;
    std::map<Key, std::shared_ptr<const Value>> young_, old_;
};

}  // namespace libseal::detail
