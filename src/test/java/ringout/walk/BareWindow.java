package ringout.walk;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import javafx.application.Application;
import javafx.scene.Scene;
import javafx.scene.control.Label;
import javafx.stage.Stage;

/** A JavaFX window with a word in it, which tells as Ringout does when its first frame was laid out. */
public final class BareWindow extends Application {
    private long frame;

    public static void main(String[] arguments) {
        Application.launch(BareWindow.class, arguments);
    }

    @Override
    public void start(Stage stage) throws IOException {
        Scene scene = new Scene(new Label("Driver's desk"), 1229, 691);
        stage.setTitle("Ringout");
        stage.setScene(scene);
        stage.show();
        ServerSocket server =
                new ServerSocket(Integer.getInteger("ringout.peephole"), 1, InetAddress.getLoopbackAddress());
        scene.addPostLayoutPulseListener(() -> {
            if (frame == 0) {
                frame = System.currentTimeMillis();
                Thread thread = new Thread(() -> serve(server));
                thread.setDaemon(true);
                thread.start();
            }
        });
    }

    private void serve(ServerSocket server) {
        try (Socket socket = server.accept();
                BufferedReader asked =
                        new BufferedReader(new InputStreamReader(socket.getInputStream(), StandardCharsets.UTF_8))) {
            while (asked.readLine() != null) {
                socket.getOutputStream().write(("frame " + frame + "\n\n").getBytes(StandardCharsets.UTF_8));
            }
        } catch (IOException gone) {
            throw new UncheckedIOException(gone);
        }
    }
}
