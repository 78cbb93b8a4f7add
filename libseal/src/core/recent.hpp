#pragma once
// Things made once and kept while they are asked for; what was not asked for longest goes first, so that memory has a bound.

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <map>
#include <memory>
#include <mutex>
#include <utility>

namespace libseal::detail {

/// @threads  safe; two threads that miss the same thing at once both make it, with the same bits.
template <class Key, class Value>
class Recent {
public:
    /// @param most  Things kept.
    explicit Recent(std::size_t most) : most_(most) {}

    template <class Make>
    std::shared_ptr<const Value> get(const Key& key, const Make& make) {
        {
            const std::lock_guard held(lock_);
            if (const auto found = things_.find(key); found != things_.end()) return used(found->second);
        }
        auto made = std::make_shared<const Value>(make());
        const std::lock_guard held(lock_);
        if (things_.size() >= most_ && things_.count(key) == 0)
            things_.erase(std::min_element(things_.begin(), things_.end(),
                                           [](const auto& a, const auto& b) { return a.second.last < b.second.last; }));
        return used(things_.try_emplace(key, Kept{std::move(made), 0}).first->second);
    }

private:
    struct Kept {
        std::shared_ptr<const Value> value;
        std::uint64_t last;
    };
    std::shared_ptr<const Value> used(Kept& kept) {
        kept.last = ++uses_;
        return kept.value;
    }

    std::mutex lock_;
    std::size_t most_;
    std::uint64_t uses_ = 0;
    std::map<Key, Kept> things_;
};

}  // namespace libseal::detail
