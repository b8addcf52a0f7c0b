package ringout.ui.check;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import javafx.scene.control.Button;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.testfx.framework.junit5.ApplicationExtension;
import org.testfx.util.WaitForAsyncUtils;
import ringout.circuit.Fault;
import ringout.ui.model.SinceModel;

/** The buttons by which somebody says what was mended. */
@ExtendWith(ApplicationExtension.class)
class MendedButtonsTest {
    /** Which check it is kept with is told by the model; the buttons only hand the choice on. */
    private static SinceModel.Choice choice(String words, Fault fault) {
        return new SinceModel.Choice(words, null, List.of(fault));
    }

    @Test
    void eachSaysWhatItWasAndTheyGoWithTheQuestion() {
        SinceModel.Choice open = choice("HORN never connects.", new Fault.ContactOpen("horn"));
        SinceModel.Choice reversed =
                choice("The diode at HORN is the wrong way round.", new Fault.DiodeReversed("horn"));
        List<SinceModel.Choice> told = new ArrayList<>();
        List<List<String>> shown = WaitForAsyncUtils.waitForAsyncFx(10_000, () -> {
            FindingsPane pane = new FindingsPane(c -> {}, c -> {}, c -> {}, c -> {}, f -> {}, f -> {});
            pane.onMended(told::add);
            pane.since(Optional.of(new SinceModel.Card("Since yesterday", List.of(), List.of(open, reversed))));
            List<Button> asked = buttons(pane);
            asked.get(1).fire();
            pane.since(Optional.of(new SinceModel.Card("Since yesterday", List.of(), List.of())));
            return List.of(
                    asked.stream().map(Button::getText).toList(),
                    buttons(pane).stream().map(Button::getText).toList());
        });
        assertEquals(List.of(List.of(open.words(), reversed.words()), List.of()), shown);
        assertEquals(List.of(reversed), told);
    }

    private static List<Button> buttons(FindingsPane pane) {
        return pane.getChildren().stream()
                .flatMap(n -> n instanceof javafx.scene.layout.Pane p ? p.getChildren().stream() : null)
                .filter(Button.class::isInstance)
                .map(Button.class::cast)
                .toList();
    }
}
