/// A night that a crew plays: whole turns while there are enough for all, else one turn after the
/// other, each by all together.
#pragma once

#include <map>
#include <vector>

#include "queue/night.h"
#include "tools/mpi/crew.h"

namespace sixfold::tools {

/// What a part holds after so many rounds is the same either way. States and results go through
/// rank 0, which alone has the queue's file.
class SharedNight {
 public:
  /// Both must outlive it; turns that the night plays itself are played by a RankRunner.
  SharedNight(Night& night, Crew& crew) : night_(night), crew_(crew) {}

  /// As Night::run().
  void run();

 private:
  struct InHand {
    PartAt part;
    double since = 0.0;
  };

  void hand_out();
  void hand_out(int rank, const std::vector<PartAt>& up);
  /// Reads the entry; false where it can't be played by this rank now, or at all.
  [[nodiscard]] bool is_for(int rank, const PartAt& part);
  void serve(const FromRank& from);
  void answer(const FromRank& from);
  void keep(const std::string& body);
  void end_turn(const FromRank& from);

  Night& night_;
  Crew& crew_;
  std::map<int, InHand> in_hand_;  ///< By rank.
};

}  // namespace sixfold::tools
