package ringout.ui.practice;

import java.util.List;
import javafx.animation.KeyFrame;
import javafx.animation.Timeline;
import javafx.util.Duration;
import ringout.plan.Action;

/** Uses a box to practise on while it is watched: works one control after the other, over and over. On the application thread. */
public final class Playing implements AutoCloseable {
    private static final Duration HELD = Duration.millis(250);
    private static final Duration EVERY = Duration.millis(900);

    private final Hands hands;
    private final List<Action> actions;
    private final Timeline timeline;
    private int next;

    Playing(Hands hands, List<Action> actions) {
        this.hands = hands;
        this.actions = actions;
        timeline = new Timeline(
                new KeyFrame(EVERY.subtract(HELD), event -> hands.press(actions.get(next))),
                new KeyFrame(EVERY, event -> letGo()));
        timeline.setCycleCount(Timeline.INDEFINITE);
        timeline.play();
    }

    private void letGo() {
        hands.release(actions.get(next));
        next = (next + 1) % actions.size();
    }

    @Override
    public void close() {
        timeline.stop();
        hands.close();
    }
}
