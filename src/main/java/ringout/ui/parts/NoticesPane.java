package ringout.ui.parts;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import javafx.geometry.Pos;
import javafx.scene.Node;
import javafx.scene.control.Button;
import javafx.scene.control.Label;
import javafx.scene.layout.HBox;
import javafx.scene.layout.Priority;
import javafx.scene.layout.Region;
import javafx.scene.layout.VBox;

/** Things worth knowing that stop nothing, in place of dialog boxes; gone when there are none. */
public final class NoticesPane extends VBox {
    /**
     * One notice.
     *
     * @param words  in whole sentences
     * @param button what can be done about it
     * @param action does it
     */
    public record Notice(String words, Optional<String> button, Runnable action) {
        public static Notice of(String words) {
            return new Notice(words, Optional.empty(), () -> {});
        }
    }

    private List<String> shown = List.of();

    public NoticesPane() {
        getStyleClass().add("notices");
        setId("notices");
        show(List.of());
    }

    /** @return whether something is said that was not before */
    public boolean show(List<Notice> notices) {
        List<String> words = notices.stream().map(Notice::words).toList();
        setVisible(!notices.isEmpty());
        setManaged(!notices.isEmpty());
        if (words.equals(shown)) {
            return false;
        }
        boolean news = !shown.containsAll(words);
        shown = words;
        List<Node> nodes = new ArrayList<>();
        for (Notice notice : notices) {
            Label mark = new Label("!");
            mark.getStyleClass().add("notice-mark");
            mark.setMinWidth(Region.USE_PREF_SIZE);
            Label text = new Label(notice.words());
            text.setWrapText(true);
            text.setMinHeight(Region.USE_PREF_SIZE);
            text.getStyleClass().add("notice-words");
            VBox content = new VBox(text);
            content.getStyleClass().add("notice-content");
            HBox.setHgrow(content, Priority.ALWAYS);
            notice.button().ifPresent(label -> {
                Button button = new Button(label);
                button.setOnAction(event -> notice.action().run());
                content.getChildren().add(button);
            });
            HBox row = new HBox(mark, content);
            row.setAlignment(Pos.TOP_LEFT);
            row.getStyleClass().add("notice");
            nodes.add(row);
        }
        getChildren().setAll(nodes);
        return news;
    }
}
