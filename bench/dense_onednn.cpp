#include "bench/dense_forward.h"

#ifdef SIXFOLD_ONEDNN
#include <map>
#include <oneapi/dnnl/dnnl.hpp>
#endif

namespace sixfold {

#ifdef SIXFOLD_ONEDNN
namespace {

using dnnl::memory;

class OneDnnForward final : public DenseForward {
 public:
  explicit OneDnnForward(const Network& network) : network_(network) {}

  const float* run(const std::vector<float>& features, std::size_t children) override {
    auto& passes = passes_[children];
    if (!passes) passes = std::make_unique<Pass>(*this, children);
    passes->inputs.set_data_handle(const_cast<float*>(features.data()));
    for (std::size_t i = 0; i < passes->layers.size(); ++i) {
      passes->layers[i].execute(stream_, passes->arguments[i]);
    }
    stream_.wait();
    return static_cast<const float*>(passes->outcomes.get_data_handle());
  }

 private:
  // The layers for one number of children.
  struct Pass {
    Pass(OneDnnForward& owner, std::size_t children) {
      const Network& net = owner.network_;
      inputs = plain(owner, children, kFeatureCount, nullptr);
      memory last = inputs;
      dnnl::post_ops clamped;
      clamped.append_eltwise(1.0f, dnnl::algorithm::eltwise_clip, 0.0f, 1.0f);
      clamped.append_eltwise(1.0f, dnnl::algorithm::eltwise_square, 0.0f, 0.0f);
      last = add(owner, last, children, kFeatureCount, net.first, net.first_bias, clamped);
      dnnl::post_ops leaky;
      leaky.append_eltwise(1.0f, dnnl::algorithm::eltwise_relu, kLeak, 0.0f);
      last = add(owner, last, children, static_cast<std::size_t>(net.hidden), net.second_weights,
                 net.second_bias, leaky);
      last = add(owner, last, children, kSecondUnits, net.head_weights, net.head_bias, {});
      outcomes = plain(owner, children, kOutcomeCount, nullptr);
      const dnnl::softmax_forward::desc desc(dnnl::prop_kind::forward_inference, last.get_desc(),
                                             1);
      layers.emplace_back(dnnl::softmax_forward({desc, owner.engine_}));
      arguments.push_back({{DNNL_ARG_SRC, last}, {DNNL_ARG_DST, outcomes}});
    }

    static memory plain(OneDnnForward& owner, std::size_t rows, std::size_t columns,
                        const float* values) {
      const memory::desc desc({static_cast<memory::dim>(rows), static_cast<memory::dim>(columns)},
                              memory::data_type::f32, memory::format_tag::ab);
      if (values == nullptr) return memory(desc, owner.engine_);
      return memory(desc, owner.engine_, const_cast<float*>(values));
    }

    memory add(OneDnnForward& owner, const memory& source, std::size_t children,
               std::size_t inputs_count, const std::vector<float>& weights,
               const std::vector<float>& bias, const dnnl::post_ops& activation) {
      const std::size_t outputs = bias.size();
      memory target = plain(owner, children, outputs, nullptr);
      const memory plain_weights = plain(owner, inputs_count, outputs, weights.data());
      const memory plain_bias = plain(owner, 1, outputs, bias.data());
      const memory::desc any(
          {static_cast<memory::dim>(inputs_count), static_cast<memory::dim>(outputs)},
          memory::data_type::f32, memory::format_tag::any);
      const dnnl::matmul::desc desc(source.get_desc(), any, plain_bias.get_desc(),
                                    target.get_desc());
      dnnl::primitive_attr attributes;
      attributes.set_post_ops(activation);
      const dnnl::matmul::primitive_desc primitive(desc, attributes, owner.engine_);
      memory own_weights(primitive.weights_desc(), owner.engine_);
      dnnl::reorder(plain_weights, own_weights)
          .execute(owner.stream_, const_cast<memory&>(plain_weights), own_weights);
      layers.emplace_back(dnnl::matmul(primitive));
      arguments.push_back({{DNNL_ARG_SRC, source},
                           {DNNL_ARG_WEIGHTS, own_weights},
                           {DNNL_ARG_BIAS, plain_bias},
                           {DNNL_ARG_DST, target}});
      return target;
    }

    memory inputs;
    memory outcomes;
    std::vector<dnnl::primitive> layers;
    std::vector<std::unordered_map<int, memory>> arguments;
  };

  const Network& network_;
  dnnl::engine engine_{dnnl::engine::kind::cpu, 0};
  dnnl::stream stream_{engine_};
  std::map<std::size_t, std::unique_ptr<Pass>> passes_;
};

}  // namespace
#endif

std::unique_ptr<DenseForward> onednn_forward([[maybe_unused]] const Network& network) {
#ifdef SIXFOLD_ONEDNN
  return std::make_unique<OneDnnForward>(network);
#else
  return nullptr;
#endif
}

}  // namespace sixfold
